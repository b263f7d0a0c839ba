"""The page in a real browser: what it shows, that it stays live, that it can be read from afar.

Needs the Debian package ``chromium``.
"""

from __future__ import annotations

import math
import re
import subprocess
from pathlib import Path

import pytest

from assistant.board.serving import Board, serve_board
from assistant.dialogue.effects import Say
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.kinds.tightening.states import Tightening
from assistant.dialogue.state import State
from assistant.dialogue.states import Acknowledge, OutOfLimit, Review, Waiting
from assistant.language.hypothesis import typed
from assistant.procedure.models import Procedure
from assistant.session.edges import Sound
from tests.board.chromium import BINARY, FLAGS, Tab
from tests.board.kit import CONTEXT, PROCEDURE, at, plain, reading
from tests.board.test_view import UNTIL

pytestmark = pytest.mark.slow

OUT = at("float", OutOfLimit(0), values={"float": {"": reading("float", "4.6 thou")}})
IN = at("float", Review(), values={"float": {"": reading("float", "2.6 thou")}})

# A ten-inch tablet (diagonal 10.1 inch at 16:10) is 217 mm wide.
TABLET_MM = 217.0
DISTANCE_MM = 3000.0
LEAST_ARCMIN = 16.0  # least character height of ISO 9241-303, from memory


# What is wider or higher than its box, by id.
CUT = (
    "[...document.querySelectorAll('[data-fit], main, header, footer, #waits, body')]"
    ".filter((e) => e.checkVisibility() && (e.scrollHeight > e.clientHeight + 2"
    " || e.scrollWidth > e.clientWidth + 2)).map((e) => e.id || e.tagName)"
)


def test_the_dumped_document_shows_step_value_and_limits(served: Board, tmp_path: Path) -> None:
    served.screen.state(OUT)
    dumped = subprocess.run(
        [BINARY, *FLAGS, f"--user-data-dir={tmp_path}", "--dump-dom", served.url],
        capture_output=True,
        text=True,
        timeout=300,
        check=True,
    ).stdout
    assert '<b id="number">3</b>' in dumped
    assert ">End float</h1>" in dumped
    assert re.search(r'<span id="value"[^>]*>4\.6</span>', dumped)
    assert "<dd>1.5<span>thou</span></dd>" in dumped
    assert "OUT OF LIMITS" in dumped
    outside = [w for w in dumped.split('"') if "://" in w and not w.startswith(served.url)]
    assert outside == []


def test_the_page_follows_the_session_and_asks_nobody_else(tab: Tab, served: Board) -> None:
    tab.requested.clear()
    tab.complaints.clear()
    tab.size(1280, 800)
    tab.open(served.url)
    assert tab.text("title") == "Kettlebeck KB-2 board rig"
    served.screen.heard(Sound(typed("reading four point six thou")))
    served.screen.state(OUT)
    served.screen.said(Say("Out of limits.", "readback"))
    tab.until("document.getElementById('said').innerText === 'Out of limits.'")
    assert tab.text("number") == "3"
    assert tab.text("value") == "4.6"
    assert tab.text("unit") == "thou"
    assert tab.text("limits").split() == ["min", "1.5thou", "max", "4thou"]
    assert tab.text("band") == "OUT OF LIMITS"
    assert tab.text("heard").strip() == "reading four point six thou"
    assert tab.text("next") == "Cap gap → Cap square"
    served.screen.state(at("bolts", Tightening(0, 2)))
    tab.until("document.querySelectorAll('#ring g.done').length === 2")
    assert tab.value("document.querySelector('#ring g.due .own').textContent") == "2"
    assert tab.value("document.querySelector('#ring g.next .own').textContent") == "4"
    assert tab.value("document.querySelectorAll('#ring path.pass.full').length") == 2
    assert tab.complaints == []
    assert {u for u in tab.requested if not u.startswith((served.url, "data:"))} == set()


def test_every_load_shows_what_is_now(tab: Tab, served: Board) -> None:
    tab.complaints.clear()
    for number in range(40):
        served.screen.state(at("bolts", Tightening(number % 2, number // 2 % 4), job=f"J{number}"))
        tab.open(served.url)
        due = "1324"[number // 2 % 4]  # crosswise
        assert tab.text("job") == f"J{number}"
        assert tab.value("document.querySelector('#ring g.due .own').textContent") == due
    assert tab.complaints == []


def test_the_page_says_when_the_board_is_off_and_comes_back(tab: Tab) -> None:
    with serve_board(CONTEXT, "127.0.0.1:0") as one:
        one.screen.state(OUT)
        tab.open(one.url)
        tab.until("document.body.dataset.link === 'live'")
        port = one.address[1]
    tab.until("document.body.dataset.link === 'off'")
    assert "closed" in tab.text("lost")
    assert tab.value(CUT) == []
    with serve_board(CONTEXT, f"127.0.0.1:{port}") as again:
        again.screen.state(IN)
        tab.until("document.getElementById('value').textContent === '2.6'")
        tab.until("document.body.dataset.link === 'live'")
        assert not tab.value("document.getElementById('band').checkVisibility()")
        assert not tab.value("document.getElementById('lost').checkVisibility()")


def test_a_lost_connection_cannot_be_overlooked(tab: Tab, served: Board) -> None:
    served.screen.state(OUT)
    tab.open(served.url)
    tab.until("document.body.dataset.link === 'live'")
    # The machine is gone without a word: nothing more arrives, and nobody answers.
    served._server.force_exit = True
    served._server.should_exit = True
    tab.until("document.body.dataset.link === 'lost'")
    assert tab.text("lost").startswith("NO CONNECTION")
    assert tab.value(CUT) == []
    assert float(tab.value("getComputedStyle(document.querySelector('main')).opacity")) < 0.5


def test_a_running_wait_counts_down_to_its_instant(tab: Tab, served: Board) -> None:
    served.screen.state(at(None, Waiting(), waits={"cool": "2999-01-05T08:20:00+00:00"}))
    tab.open(served.url)
    assert tab.text("waits").startswith("Let it cool")
    assert tab.value("/\\d:\\d\\d:\\d\\d$/.test(document.querySelector('#waits b').textContent)")
    served.screen.state(at(None, Waiting(), waits={"cool": UNTIL}))  # long past
    tab.until("document.querySelector('#waits b').textContent === 'time is up'")


def test_the_longest_caution_that_a_procedure_may_hold_is_shown_whole(tab: Tab) -> None:
    longest = ("Keep hands clear of the wheel while it can turn. " * 50)[:2000].strip()
    raw = PROCEDURE.model_dump(mode="json")
    raw["steps"][0] |= {"say": longest, "title": "Lock out the wheel and all that hangs on it " * 3}
    with serve_board(plain(Procedure.model_validate(raw)), "127.0.0.1:0") as one:
        one.screen.state(at("lock", Acknowledge(0)))
        one.screen.said(Say(f"Caution. {longest} Say caution understood.", "caution"))
        tab.size(1280, 800)
        tab.open(one.url)
        assert tab.text("lines") == longest
        assert tab.value(CUT) == []


def arcmin(tab: Tab, selector: str) -> float:
    """How high digits of an element stand, in minutes of arc, seen from three metres."""
    pixels = tab.value(
        "(() => { const e = document.querySelector(" + repr(selector) + ");"
        "const c = document.createElement('canvas').getContext('2d');"
        "const s = getComputedStyle(e); c.font = `${s.fontWeight} ${s.fontSize} ${s.fontFamily}`;"
        "return c.measureText('0').actualBoundingBoxAscent; })()"
    )
    millimetres = float(pixels) * TABLET_MM / 1280
    return math.degrees(math.atan(millimetres / DISTANCE_MM)) * 60


@pytest.mark.parametrize(
    ("state", "selectors"),
    [
        (IN, ("#number", "#value", "#limits dd")),
        (OUT, ("#number", "#value", "#limits dd")),
        (at("float", Measuring(0)), ("#number", "#limits dd")),
        (at("bolts", Tightening(1, 2)), ("#number", "#value")),
        (at(None, Waiting(), waits={"cool": UNTIL}), ("#waits b",)),
    ],
)
def test_figures_can_be_read_from_three_metres(
    tab: Tab, served: Board, state: State, selectors: tuple[str, ...]
) -> None:
    tab.size(1280, 800)
    served.screen.state(state)
    tab.open(served.url)
    for selector in selectors:
        assert arcmin(tab, selector) >= LEAST_ARCMIN, selector


@pytest.mark.parametrize(
    ("features", "paper"),
    [
        ({"prefers_color_scheme": "light"}, "rgb(244, 245, 241)"),
        ({"prefers_color_scheme": "dark"}, "rgb(14, 18, 21)"),
        ({"prefers_color_scheme": "dark", "prefers_contrast": "more"}, "rgb(0, 0, 0)"),
    ],
)
def test_the_look_follows_the_tablet_unless_one_is_asked_for(
    tab: Tab, served: Board, features: dict[str, str], paper: str
) -> None:
    colour = "getComputedStyle(document.body).backgroundColor"
    tab.media(**features)
    tab.open(served.url)
    assert tab.value(colour) == paper
    tab.open(served.url + "?look=light")
    assert tab.value(colour) == "rgb(244, 245, 241)"
    tab.media(prefers_color_scheme="light", prefers_contrast="no-preference")
