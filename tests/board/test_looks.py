"""How the page looks: whole in every size, harmless, accessible, and no circle taken for another.

Needs the Debian package ``chromium``.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import Any

import pytest

from assistant.board.serving import Board, serve_board
from assistant.dialogue.context import Context
from assistant.dialogue.kinds.tightening.states import Tightening
from assistant.dialogue.states import OutOfLimit
from assistant.procedure.models import Procedure
from tests.board.accessibility import violations
from tests.board.chromium import Tab
from tests.board.kit import CONTEXT, PROCEDURE, at, plain
from tests.board.shown import HOSTILE, SHOWN, Shown
from tests.board.test_in_chromium import CUT
from tests.board.test_view import FLOAT_OUT

pytestmark = pytest.mark.slow

SIZES = [(1280, 800), (800, 1280), (390, 844)]
EVERY_SIZE = [*SIZES, (1024, 768), (1920, 1080)]
LOOKS = ["light", "dark", "contrast"]
HARMFUL = [one for one in SHOWN if "hostile" in one.name]
# One of each alarm, of each layout beside it, and of each strip across the top.
DIFFERENT = [
    "lock Acknowledge", "oil Doing", "float Measuring", "float DigitCheck", "rows and wait",
    "bolts TorqueAcknowledge", "first fastener", "hold Inspecting", "paused", "paused, out",
    "stopped", "finished, not clean", "not taken: unsure",
]  # fmt: skip


def named(name: str) -> Shown:
    """The first state of that name."""
    return next(one for one in SHOWN if one.name == name)


@dataclass
class Seen:
    """What was seen of every state: what is cut off in each size, and how each alarm is shown."""

    cut: dict[tuple[int, int], dict[str, object]]
    alarms: dict[str, tuple[str, str, str]]


@pytest.fixture(scope="module")
def seen(tab: Tab) -> Seen:
    """Every state comes in one size after another, and is turned to all the others.

    The first in each size is loaded, the others follow on the page that is open.
    """
    seen = Seen({size: {} for size in EVERY_SIZE}, {})
    with serve_board(CONTEXT, "127.0.0.1:0") as board:
        for number, one in enumerate(one for one in SHOWN if one.context is CONTEXT):
            first = number % len(EVERY_SIZE)
            tab.size(*EVERY_SIZE[first])
            one.put_on(board.screen)
            if number < len(EVERY_SIZE):
                tab.open(board.url)
            tab.follow()
            for size in EVERY_SIZE[first:] + EVERY_SIZE[:first]:
                tab.resize(*size)
                if found := tab.value(CUT):
                    seen.cut[size][one.name] = found
            alarm, sign = tab.value(
                "[document.body.dataset.alarm,"
                " document.querySelector('#sign path').getAttribute('d')]"
            )
            if alarm:
                seen.alarms[one.name] = (alarm, sign, tab.text("band"))
    return seen


@pytest.mark.parametrize("size", EVERY_SIZE)
def test_nothing_is_cut_off_whatever_is_shown(seen: Seen, size: tuple[int, int]) -> None:
    assert seen.cut[size] == {}


def test_states_are_told_apart_without_colour(seen: Seen) -> None:
    """Each alarm has words and a sign of its own shape."""
    assert all(words for _, _, words in seen.alarms.values())
    kinds = {(alarm, sign) for alarm, sign, _ in seen.alarms.values()}
    assert len({alarm for alarm, _ in kinds}) == len({sign for _, sign in kinds}) == len(kinds)
    assert len(kinds) >= 5


@dataclass(frozen=True)
class Harm:
    """What a hostile state did: elements with a script, all text, and what is cut off."""

    scripted: int
    text: str
    cut: list[str]


@pytest.fixture(scope="module")
def harm(tab: Tab) -> dict[tuple[int, int], dict[str, Harm]]:
    """What each hostile state does in each size; its page is loaded once."""
    tab.complaints.clear()
    harm: dict[tuple[int, int], dict[str, Harm]] = {size: {} for size in SIZES}
    for one in HARMFUL:
        with serve_board(one.context, "127.0.0.1:0") as board:
            one.put_on(board.screen)
            tab.size(*SIZES[0])
            tab.open(board.url)
            for size in SIZES:
                tab.resize(*size)
                harm[size][one.name] = Harm(
                    tab.value("document.querySelectorAll('[onclick]').length"),
                    str(tab.value("document.body.innerText")),
                    tab.value(CUT),
                )
    # A page asks for its board again when that has ended, before the next one is opened.
    assert [c for c in tab.complaints if "ERR_CONNECTION_REFUSED" not in c] == []
    return harm


@pytest.mark.parametrize("size", SIZES)
def test_hostile_text_is_shown_and_does_nothing(
    harm: dict[tuple[int, int], dict[str, Harm]], size: tuple[int, int]
) -> None:
    """Markup stays text, codes that turn text around are gone, and long names fit."""
    assert set(harm[size]) == {one.name for one in HARMFUL}
    for name, did in harm[size].items():
        assert did.scripted == 0
        assert "<b onclick=alert(1)>Otto</b>" in did.text
        assert not set(did.text) & set("\x1b\u202e\u2066")
        assert did.cut == [], name


def test_a_number_is_never_shortened_however_long(tab: Tab, served: Board) -> None:
    tab.size(1280, 800)
    named("hostile number").put_on(served.screen)
    tab.open(served.url)
    assert tab.text("value").count("x") == HOSTILE.count("x")


@pytest.fixture(scope="module")
def wrong(tab: Tab) -> dict[tuple[str, tuple[int, int]], dict[str, list[str]]]:
    """What axe-core finds in each look and size; state and size change while the page is open.

    The looks are the same page in other colours (``test_contrast``), so the rules that do not look
    at colours are tried in the first.
    """
    wrong: dict[tuple[str, tuple[int, int]], dict[str, list[str]]] = {}
    with serve_board(CONTEXT, "127.0.0.1:0") as board:
        for look, name in product(LOOKS, DIFFERENT):
            named(name).put_on(board.screen)
            if name == DIFFERENT[0]:
                tab.open(f"{board.url}?look={look}")
            tab.follow()
            for size in SIZES:
                tab.resize(*size)
                found = wrong.setdefault((look, size), {})
                if rules := violations(tab, colours_only=look != LOOKS[0]):
                    found[name] = rules
    return wrong


@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("size", SIZES)
def test_axe_core_finds_nothing(
    wrong: dict[tuple[str, tuple[int, int]], dict[str, list[str]]],
    look: str,
    size: tuple[int, int],
) -> None:
    assert wrong[look, size] == {}


@pytest.mark.parametrize(
    ("size", "least"), [((1280, 800), 26), ((800, 1280), 30), ((390, 844), 14)]
)
def test_what_may_be_said_can_be_read_when_a_value_is_out(
    tab: Tab, served: Board, size: tuple[int, int], least: float
) -> None:
    """``least`` is the size of the letters in CSS pixels; body text on a phone has 14 and more."""
    tab.size(*size)
    served.screen.state(at("float", OutOfLimit(0), values=FLOAT_OUT))
    tab.open(served.url)
    letters = "parseFloat(getComputedStyle(document.querySelector('#phrases')).fontSize)"
    assert tab.value(letters) >= least


def test_words_that_were_not_taken_are_marked_in_words(tab: Tab, served: Board) -> None:
    tab.size(1280, 800)
    named("not taken: unsure").put_on(served.screen)
    tab.open(served.url)
    assert "NOT TAKEN: not sure enough, say it again" in tab.text("refused")
    named("heard").put_on(served.screen)
    tab.until("document.getElementById('heard').textContent.startsWith('repeat')")
    assert not tab.value("document.getElementById('refused').checkVisibility()")


def joint(pattern: str, labels: list[str]) -> Context:
    """The rig with other fasteners on its cap."""
    raw: dict[str, Any] = PROCEDURE.model_dump(mode="json")
    bolts = next(s for s in raw["steps"] if s["id"] == "bolts")
    bolts |= {"pattern": pattern, "fasteners": labels}
    return plain(Procedure.model_validate(raw))


# Whether a box meets a ring or a disc: its nearest point lies within the outermost radius.
COVERED = """
(() => {
  const covered = [];
  for (const label of document.querySelectorAll('#ring text.label')) {
    const box = label.getBBox();
    for (const disc of document.querySelectorAll('#ring circle')) {
      const [x, y, r] = ['cx', 'cy', 'r'].map((name) => Number(disc.getAttribute(name)));
      const dx = x - Math.max(box.x, Math.min(x, box.x + box.width));
      const dy = y - Math.max(box.y, Math.min(y, box.y + box.height));
      if (Math.hypot(dx, dy) < r) covered.push(label.textContent);
    }
  }
  return covered;
})()
"""


@pytest.mark.parametrize("count", [2, 4, 6, 8, 12])
@pytest.mark.parametrize("pattern", ["cross", "ring", "two_row", "spiral"])
def test_no_ring_and_no_pass_covers_a_label(tab: Tab, pattern: str, count: int) -> None:
    places = ["upper", "lower", "near", "far", "inner", "outer"]
    labels = [f"{a} {b} nut" for a in ("left", "right") for b in places][:count]
    tab.size(1280, 800)
    with serve_board(joint(pattern, labels), "127.0.0.1:0") as board:
        board.screen.state(at("bolts", Tightening(0, 1)))
        tab.open(board.url)
        assert tab.value("document.querySelectorAll('#ring text.label').length") >= 1
        assert tab.value(COVERED) == []
        inside = (
            "[...document.querySelectorAll('#ring text.own')].map((t) => t.textContent).join('')"
        )
        assert (
            tab.value(inside) == ""
        )  # no number at all rather than one that is not the fastener's


@pytest.mark.parametrize("turn", range(3))
def test_an_arrow_leads_from_the_fastener_that_is_due_to_the_next(
    tab: Tab, served: Board, turn: int
) -> None:
    tab.size(1280, 800)
    served.screen.state(at("bolts", Tightening(0, turn)))
    tab.open(served.url)
    order = "1324"  # crosswise
    assert tab.value("document.querySelector('#ring g.due .own').textContent") == order[turn]
    assert tab.value("document.querySelector('#ring g.next .own').textContent") == order[turn + 1]
    nearest = (
        "(() => { const d = document.querySelector('#ring .head').getAttribute('d').slice(1)"
        ".split('L')[0].split(' ').map(Number);"
        "return [...document.querySelectorAll('#ring g:has(.own)')].map((g) => { const c ="
        " g.querySelector('circle'); return [Math.hypot(c.getAttribute('cx') - d[0],"
        " c.getAttribute('cy') - d[1]), g.querySelector('.own').textContent]; })"
        ".sort((a, b) => a[0] - b[0])[0][1]; })()"
    )
    assert tab.value(nearest) == order[turn + 1]
