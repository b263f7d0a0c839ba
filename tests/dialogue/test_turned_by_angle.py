"""A bolt turned by angle is never told to be turned again: it would be stretched past yield.

Torque plus angle tightens into or near yield (common practice, no source), so a second turn
on top of the first can break the bolt or leave it without clamp force.
"""

from __future__ import annotations

from assistant.dialogue.events import Resumed
from assistant.dialogue.facts import Acknowledged, StepDone
from assistant.dialogue.kinds.tightening.facts import FastenerReopened, FastenerTightened
from assistant.dialogue.kinds.tightening.states import Loosening, Tightening, TorqueAcknowledge
from assistant.dialogue.states import Review, Waiting
from tests.dialogue.kit import PEOPLE, Bench, procedure
from tests.dialogue.test_own_wrench import own

LABELS = ("bolt one", "bolt two", "bolt three")
BOLTS = {
    "id": "bolts", "kind": "tightening", "tool": "wrench", "target": "10.5 lbf*ft",
    "angle": "60 deg", "fasteners": list(LABELS), "passes": ["0.6", "1"], "thread": "dry",
}  # fmt: skip
BEFORE = {"id": "before", "kind": "action"}
COARSE = own()
FINE = own(resolution="0.5 lbf*ft")


def in_the_last_pass(turned: int) -> Bench:
    """The session in pass 2 with ``turned`` bolts done in it."""
    b = Bench(procedure(BEFORE, BOLTS, {"id": "last", "kind": "action", "after": ["bolts"]}))
    b.open(PEOPLE, COARSE)
    b.type("charlie")
    b.say("confirm", "done", "understood", *["done"] * 3, "understood", *["done"] * turned)
    return b


def named(b: Bench) -> str:
    """The fastener that is due."""
    moment = b.awaiting()
    assert isinstance(moment, Tightening)
    return LABELS[moment.turn]


def test_after_another_bench_only_the_bolts_left_are_turned() -> None:
    b = in_the_last_pass(2)
    said = b.feed(Resumed(at=b.at(), bench=FINE))
    assert "Done in this pass, leave them: bolt one, bolt two." in said
    assert b.awaiting() == TorqueAcknowledge(1, 2)
    b.say("understood")
    assert named(b) == "bolt three"
    b.say("done")
    assert isinstance(b.awaiting(), Review)
    last = [t.fastener for t in b.of(FastenerTightened) if t.pass_number == 2]
    assert sorted(last) == sorted(LABELS)


def test_one_missed_after_another_bench_reopens_one_bolt_and_no_other() -> None:
    b = in_the_last_pass(3)
    b.feed(Resumed(at=b.at(), bench=FINE))
    b.say("missed")
    assert [f.fastener for f in b.of(FastenerReopened)] == ["bolt three"]
    said = b.say("understood")
    assert named(b) == "bolt three"
    assert "If it is turned already, do not turn it again" in said
    b.say("done")
    assert isinstance(b.awaiting(), Review)
    last = [t.fastener for t in b.of(FastenerTightened) if t.pass_number == 2]
    assert last == [*LABELS, "bolt three"]


def test_a_bolt_said_to_be_missed_is_turned_only_if_it_was_not() -> None:
    b = in_the_last_pass(2)
    said = b.say("missed")
    assert "If it is turned already, do not turn it again: leave it" in said
    said = b.say("missed")  # one further back; both come up again, with the same words
    assert "You reported bolt one as done" in said
    assert "You reported bolt two as done" in b.say("done")
    assert "You reported" not in b.say("done")
    assert named(b) == "bolt three"


def test_going_back_has_the_turned_bolts_loosened_before_anything_is_tightened() -> None:
    b = in_the_last_pass(2)
    b.say("go_back", "confirm", "done")
    assert b.awaiting() == Loosening()
    said = " ".join(b.state.last_said)
    assert "Already turned by sixty degrees: bolt one, bolt two. Never turn them further." in said
    assert "Set " not in said
    b.say("done")
    assert b.awaiting() == Loosening()
    said = b.feed(Resumed(at=b.at()))
    assert b.awaiting() == Loosening()
    assert "Never turn them further" in said
    b.say("understood")
    assert b.awaiting() == TorqueAcknowledge(0)
    assert "Loosen them" in b.of(Acknowledged)[-1].what
    b.say("understood", *["done"] * 3, "understood")
    assert "You reported" not in " ".join(b.state.last_said)  # they are loose now
    b.say(*["done"] * 3, "go_on")
    assert b.state.step == "last"


def test_bolts_that_were_not_turned_yet_need_no_loosening() -> None:
    b = in_the_last_pass(0)
    b.say("go_back", "confirm", "done")
    assert b.awaiting() == TorqueAcknowledge(0)


def test_a_whole_step_gone_back_to_may_be_left_as_it_was_found() -> None:
    b = in_the_last_pass(3)
    b.say("go_on", "go_back", "confirm")
    assert b.awaiting() == Loosening()
    b.say("skip", "skip_already_done")
    assert b.state.step == "last"
    assert not b.of(StepDone)[-1].part_way


def test_a_step_of_which_some_were_turned_may_not_be_left_as_done_already() -> None:
    b = in_the_last_pass(2)
    b.say("go_back", "confirm", "done", "skip", "skip_already_done")
    assert b.of(StepDone)[-1].part_way
    assert isinstance(b.awaiting(), Waiting)
