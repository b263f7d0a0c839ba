"""Tightening: no wrench turns before its torque was announced and acknowledged."""

from __future__ import annotations

from assistant.dialogue.facts import Acknowledged
from assistant.dialogue.kinds.tightening.facts import (
    FastenerReopened,
    FastenerTightened,
    TorqueAnnounced,
)
from assistant.dialogue.kinds.tightening.states import Tightening, TorqueAcknowledge
from assistant.dialogue.states import Review
from tests.dialogue.kit import Bench, procedure

CAP = {
    "id": "cap_bolts", "kind": "tightening", "tool": "wrench", "target": "14 lbf*ft",
    "tolerance": "1 lbf*ft", "fasteners": ["bolt one", "bolt two", "bolt three", "bolt four"],
    "pattern": "cross", "passes": ["0.5", "1"], "thread": "lubricated", "lubricant": "oil",
}  # fmt: skip


def bench(**changes: object) -> Bench:
    b = Bench(procedure({**CAP, **changes}, {"id": "last", "kind": "action"}))
    b.start()
    return b


def test_the_torque_is_announced_with_digits_and_waits_to_be_acknowledged() -> None:
    b = bench(passes=["1"])
    said = b.context.language.prompt("or") and " ".join(b.state.last_said)
    assert "fourteen pound feet" in said
    assert "one four" in said
    assert "light machine oil on the threads" in said
    assert b.awaiting() == TorqueAcknowledge(0)
    b.say("done")
    assert b.awaiting() == TorqueAcknowledge(0)
    assert b.of(FastenerTightened) == []


def test_every_pass_is_announced_anew_and_visits_each_fastener_once() -> None:
    b = bench()
    for _ in range(2):
        b.say("understood")
        for _ in range(4):
            b.say("done")
    assert isinstance(b.awaiting(), Review)
    assert [str(a.torque) for a in b.of(TorqueAnnounced)] == ["7 lbf*ft", "14 lbf*ft"]
    for number in (1, 2):
        labels = [f.fastener for f in b.of(FastenerTightened) if f.pass_number == number]
        assert sorted(labels) == sorted(CAP["fasteners"])
        # cross: the second fastener lies opposite the first (common practice, no source)
        assert labels[:2] == ["bolt one", "bolt three"]
    assert len(b.of(Acknowledged)) == 2
    b.say("go_on")
    assert b.state.step == "last"


def test_a_missed_fastener_is_done_again() -> None:
    b = bench()
    said = b.say("missed")
    assert said == "Nothing was tightened before this one. Say torque understood."
    b.say("understood", "done", "done")
    said = b.say("missed")
    assert "bolt three" in said
    assert b.awaiting() == Tightening(0, 1)
    (reopened,) = b.of(FastenerReopened)
    assert reopened.fastener == "bolt three"
    b.say("missed")
    said = b.say("missed")
    assert "Nothing was tightened before" in said


def test_missed_after_a_pass_names_the_torque_of_that_pass() -> None:
    b = bench()
    b.say("understood", "done", "done", "done", "done")
    assert b.awaiting() == TorqueAcknowledge(1)
    said = b.say("missed")
    assert "Set the wrench to seven pound feet" in said
    assert b.awaiting() == TorqueAcknowledge(0, 3)
    b.say("understood")
    assert b.awaiting() == Tightening(0, 3)


def test_a_fastener_out_of_turn_is_pointed_out() -> None:
    b = bench()
    b.say("understood")
    assert "next" in b.type("bolt four")
    assert b.awaiting() == Tightening(0, 0)
    assert "Yes" in b.type("bolt one")


def test_asking_for_the_torque_gives_the_pass_at_hand() -> None:
    b = bench()
    b.say("understood", "done")
    assert "seven" in b.say("what_torque")


def test_a_torque_angle_is_announced_with_the_last_pass_only() -> None:
    b = bench(angle="60 deg")
    assert "sixty degrees" not in " ".join(b.state.last_said)
    b.say("understood", "done", "done", "done", "done")
    assert "sixty degrees" in " ".join(b.state.last_said)


def test_the_torque_of_the_pass_at_hand_is_given_while_something_else_is_asked() -> None:
    b = bench()
    b.say("understood", "skip")
    said = b.say("what_torque")
    assert "pass 1 of 2" in said
    assert "seven pound feet" in said


def test_only_where_it_is_awaited_is_the_builder_told_to_acknowledge() -> None:
    b = bench()
    assert "torque understood" in b.say("what_torque")
    b.say("understood")
    assert "torque understood" not in b.say("what_torque")
    b.say("stop_work")
    assert "torque understood" not in b.say("wrong")
    assert b.awaiting() == Tightening(0, 0)


def test_asking_for_a_torque_that_the_wrench_cannot_give_says_why() -> None:
    b = bench(target="40 lbf*ft")
    assert "range" in b.say("what_torque")
    assert b.of(TorqueAnnounced) == []


def test_a_missed_fastener_is_told_its_turn_by_angle_again() -> None:
    b = bench(angle="60 deg", passes=["1"])
    b.say("understood", "done")
    said = b.say("missed")
    assert "Then turn a further sixty degrees" in said
