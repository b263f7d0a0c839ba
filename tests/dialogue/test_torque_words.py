"""How a torque is announced: the number first, and nothing that the eye can have instead."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from assistant.board.kinds.kind import Glance
from assistant.board.saying import phrases
from assistant.board.scene import scene
from assistant.board.words import load_words
from assistant.dialogue.facts import Acknowledged
from assistant.session.replaying import _same
from tests.dialogue.kit import GAUGES, Bench, procedure

BOLTS = {
    "id": "bolts", "kind": "tightening", "tool": "wrench", "target": "10 lbf*ft",
    "tolerance": "1 lbf*ft", "fasteners": ["bolt one", "bolt two"], "thread": "dry",
}  # fmt: skip


def bench(gauges: Sequence[Mapping[str, Any]] = GAUGES) -> Bench:
    b = Bench(procedure(BOLTS, gauges=gauges))
    b.start()
    return b


def first_on_board(b: Bench) -> str:
    at = Glance(b.context, b.state, load_words("en-US"))
    return phrases(at)[0].text


def test_the_range_in_the_name_of_a_wrench_is_for_the_eye() -> None:
    wrenches = [
        {**g, "name": "Click wrench, 2 to 25 pound feet"} if g["id"] == "wrench" else g
        for g in GAUGES
    ]
    b = bench(wrenches)
    assert "2 to 25" not in " ".join(b.state.last_said)
    big = {**GAUGES[-1], "id": "big", "name": "Beam wrench, 20 to 100 pound feet"}
    b = bench([*wrenches, big])  # two of them: it is said which
    said = " ".join(b.state.last_said)
    assert "Set ten pound feet, one zero, on the Click wrench. Threads dry." in said
    alike = {**big, "name": "Click wrench, 20 to 100 pound feet"}
    b = bench([*wrenches, alike])  # only the range tells them apart
    assert "on the Click wrench, 2 to 25 pound feet." in " ".join(b.state.last_said)


def test_voice_help_and_board_teach_the_same_words_for_a_torque() -> None:
    b = bench()
    assert b.state.last_said[-1].endswith("Say torque understood.")
    assert "torque understood" in b.say("help")
    assert "caution understood" not in b.say("help")
    assert first_on_board(b) == "torque understood"
    b.say("understood")
    assert first_on_board(b) == "fastener done"


def test_a_torque_understood_in_the_words_of_another_version_replays() -> None:
    now = Acknowledged(step="bolts", what="Set the wrench to ten.", of="torque")
    then = {"kind": "acknowledged", "step": "bolts", "what": "Take the wrench. Set it to ten."}
    assert _same(now, then)
    assert not _same(now, {**then, "step": "others"})
    caution = Acknowledged(step="bolts", what="Mind your fingers.")
    assert not _same(caution, {**then, "what": "Mind your toes."})


DRIVERS = [
    *GAUGES,
    {"id": "driver", "kind": "torque_driver", "name": "torque driver", "unit": "cN*m",
     "resolution": "2 cN*m", "lower": "20 cN*m", "upper": "120 cN*m"},
]  # fmt: skip
SMALL_SCREWS = {**BOLTS, "tool": "driver", "target": "40 cN*m", "tolerance": "4 cN*m"}


def test_a_driver_for_small_screws_is_set_beside_a_wrench() -> None:
    b = Bench(procedure(SMALL_SCREWS, gauges=DRIVERS))
    b.start()
    said = " ".join(b.state.last_said)
    assert "Set the driver to forty centinewton meters, four zero. Threads dry." in said
    at = Glance(b.context, b.state, load_words("en-US"))
    figure = scene(at).figure
    assert figure is not None
    assert (figure.label, figure.text, figure.unit) == ("driver", "40", "cN·m")
    b.say("understood")
    b.say("done")
    assert "the driver set to forty centinewton meters, four zero" in b.say("missed")


def test_ounce_inches_are_set_on_a_driver_that_reads_centinewton_meters() -> None:
    # NIST SP 811 B.8: 1 ozf*in is 7.061552 mN*m, so 80 ozf*in are 56.49 cN*m; the mark is 56
    b = Bench(procedure({**SMALL_SCREWS, "target": "80 ozf*in"}, gauges=DRIVERS))
    b.start()
    said = " ".join(b.state.last_said)
    assert "Set the driver to fifty six centinewton meters, five six." in said
    assert "The target is eighty ounce inches." in said
