"""Stages of a tightening: torques, turns by angle, loosening, checks; each announced for itself."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from assistant.dialogue.effects import Say
from assistant.dialogue.events import Resumed
from assistant.dialogue.facts import Acknowledged
from assistant.dialogue.kinds.tightening.facts import (
    CheckRepeated,
    FastenerReopened,
    FastenerTightened,
    TorqueAnnounced,
    TurnAnnounced,
)
from assistant.dialogue.kinds.tightening.states import (
    Loosening,
    PassAsked,
    Tightening,
    TorqueAcknowledge,
)
from assistant.dialogue.states import Blocked, Review
from tests.dialogue.kit import PEOPLE, Bench, procedure, replay
from tests.dialogue.test_own_wrench import own

LABELS = ("bolt one", "bolt two", "bolt three", "bolt four")
HEAD = {
    "id": "head", "kind": "tightening", "tool": "wrench", "tolerance": "1 lbf*ft",
    "stages": [{"torque": "10 lbf*ft"}, {"torque": "20 lbf*ft"}, {"turn": "90 deg"},
               {"turn": "90 deg"}],
    "fasteners": list(LABELS), "pattern": "cross", "thread": "dry",
}  # fmt: skip
TORQUES = [{"torque": "10 lbf*ft"}, {"torque": "20 lbf*ft"}]
ROUND = ["understood", *["done"] * 4]


def bench(**changes: Any) -> Bench:
    """A session at the first announcement of the step."""
    b = Bench(procedure({"id": "before", "kind": "action"}, {**HEAD, **changes},
                        {"id": "last", "kind": "action"}))  # fmt: skip
    b.open(PEOPLE, own(resolution="0.5 lbf*ft"))
    b.type("charlie")
    b.say("confirm", "done")
    return b


def said(b: Bench) -> str:
    """What was said last."""
    return " ".join(b.state.last_said)


def test_every_stage_goes_round_all_fasteners_and_is_announced_for_itself() -> None:
    b = bench()
    assert "Set ten pound feet" in said(b)
    assert "pass 1 of 4." in said(b)
    b.say(*ROUND)
    assert "pass 2 of 4." in said(b)
    assert "twenty pound feet, two zero" in said(b)
    b.say(*ROUND)
    assert "Turn each a further ninety degrees, nine zero. Pass 3 of 4, by angle." in said(b)
    b.say("understood")
    assert said(b) == "bolt one, the turn of ninety degrees."
    b.say(*["done"] * 4, *ROUND)
    assert isinstance(b.awaiting(), Review)
    assert (
        "All 4 are tightened to twenty pound feet, then turned by one hundred and eighty degrees"
        in (said(b))
    )
    done = [(f.pass_number, f.fastener) for f in b.of(FastenerTightened)]
    assert len(set(done)) == len(done) == 16
    assert [(str(f.torque), f.turn and str(f.turn)) for f in b.of(FastenerTightened)][::4] == [
        ("10 lbf*ft", None), ("20 lbf*ft", None), ("None", "90 deg"), ("None", "90 deg")
    ]  # fmt: skip
    assert replay(b.context, b.events) == b.state


def test_a_turn_never_announces_a_torque() -> None:
    b = bench()
    b.say(*ROUND, *ROUND)
    assert [str(f.torque) for f in b.of(TorqueAnnounced)] == ["10 lbf*ft", "20 lbf*ft"]
    (turn,) = b.of(TurnAnnounced)
    assert (turn.pass_number, str(turn.turn), turn.loosen) == (3, "90 deg", False)
    for what in (said(b), b.say("what_torque"), b.say("understood"), b.say("repeat")):
        assert "pound feet" not in what


def test_nothing_is_turned_before_the_turn_is_understood() -> None:
    b = bench()
    b.say(*ROUND, *ROUND, "done")
    assert b.awaiting() == TorqueAcknowledge(2, by_angle=True)
    assert len(b.of(FastenerTightened)) == 8


def test_target_passes_and_angle_are_the_same_stages_written_otherwise() -> None:
    lines = []
    for written in (
        {"stages": [{"torque": "10 lbf*ft"}, {"torque": "20 lbf*ft", "turn": "60 deg"}]},
        {"stages": [], "target": "20 lbf*ft", "passes": ["0.5", "1"], "angle": "60 deg"},
    ):
        b = bench(**written)
        heard = [said(b)]
        for command in [*ROUND, *ROUND]:
            heard.append(b.say(command))
        lines.append((heard, [f.model_dump() for f in b.facts]))
    assert lines[0] == lines[1]


def test_a_missed_turn_asks_whether_it_was_turned() -> None:
    b = bench()
    b.say(*ROUND, *ROUND, "understood", "done", "done")
    told = b.say("missed")
    assert "You reported bolt three as done" in told
    assert "the turn of ninety degrees" in told
    assert "pound feet" not in told
    assert [f.pass_number for f in b.of(FastenerReopened)] == [3]


def test_missed_over_the_end_of_a_turn_goes_back_to_that_turn() -> None:
    b = bench()
    b.say(*ROUND, *ROUND, *ROUND)
    told = b.say("missed")
    assert b.awaiting() == TorqueAcknowledge(2, 3, by_angle=True)
    assert "Done in this pass, leave them: bolt one, bolt three, bolt two." in told
    told = b.say("understood")
    assert "You reported bolt four as done" in told
    assert b.say("done").count("Pass 4 of 4") == 1


def test_the_second_turn_of_a_bolt_is_no_repetition() -> None:
    b = bench()
    b.say(*ROUND, *ROUND, *ROUND)
    assert "You reported" not in b.say("understood")


def test_going_back_has_each_bolt_loosened_by_what_it_was_turned() -> None:
    b = bench()
    b.say(*ROUND, *ROUND, *ROUND, "understood", "done")
    b.say("go_back", "confirm", "done")
    assert b.awaiting() == Loosening()
    assert [e.tone for e in b.effects if isinstance(e, Say)][-1] == "caution"
    assert (
        "Already turned by one hundred and eighty degrees: bolt one; ninety degrees: bolt three, "
        "bolt two, bolt four. Never turn them further."
    ) in said(b)
    b.say("understood")
    assert b.awaiting() == TorqueAcknowledge(0)
    b.say(*ROUND, *ROUND)
    assert "You reported" not in b.say("understood")


def test_another_wrench_is_no_reason_to_announce_a_turn_otherwise() -> None:
    b = bench()
    b.say(*ROUND, *ROUND, "understood", "done")
    again = b.feed(Resumed(at=b.at(), bench=own(name="wrench number 4", resolution="0.5 lbf*ft")))
    assert b.awaiting() == Tightening(2, 1)
    assert "Turn each a further ninety degrees" in again
    assert "pound feet" not in again


def test_loosening_is_a_stage_of_its_own() -> None:
    b = bench(stages=[*TORQUES, {"loosen": "180 deg"}, {"torque": "10 lbf*ft"}, {"turn": "90 deg"}])
    b.say(*ROUND, *ROUND)
    assert "Loosen each by one hundred and eighty degrees, one eight zero. Pass 3 of 5." in said(b)
    b.say("understood")
    assert said(b) == "Loosen bolt one by one hundred and eighty degrees."
    b.say("done")
    assert "You reported" in b.say("missed")
    b.say(*["done"] * 4)
    assert "Set ten pound feet" in said(b)
    loose = [f for f in b.of(FastenerTightened) if f.loosened]
    assert len({f.fastener for f in loose}) == 4
    b.say(*ROUND, *ROUND)
    assert "All 4 are tightened to ten pound feet, then turned by ninety degrees" in said(b)


CHECKED = {"stages": [*TORQUES, {"check": "20 lbf*ft", "pattern": "ring"}]}


def test_a_check_that_moves_a_fastener_is_done_once_more_from_its_beginning() -> None:
    b = bench(**CHECKED)
    b.say(*ROUND, *ROUND)
    assert "Set twenty pound feet, two zero," in said(b)
    assert "pass 3 of 3, a check. Round the ring. The order is bolt one, two" in said(b)
    assert "No fastener may move" in said(b)
    assert [f.check for f in b.of(TorqueAnnounced)] == [False, False, True]
    b.say("understood", "done", "moved", "done")
    told = b.say("done")
    assert "Moved in the check: bolt two. Check all of them again." in told
    assert b.awaiting() == TorqueAcknowledge(2)
    (again,) = b.of(CheckRepeated)
    assert (again.pass_number, again.moved) == (3, ("bolt two",))
    b.say(*ROUND)
    assert "All 4 are tightened to twenty pound feet, and none moved in the check." in said(b)
    b.say("go_on")
    assert b.state.step == "last"


def test_moved_is_said_in_a_check_only() -> None:
    b = bench(**CHECKED)
    b.say("understood")
    assert "moved" not in b.expected()
    b.say(*["done"] * 4, *ROUND, "understood")
    assert "moved" in b.expected()


def test_a_moved_fastener_that_was_a_slip_can_be_taken_back() -> None:
    b = bench(**CHECKED)
    b.say(*ROUND, *ROUND, "understood", "done", "moved", "missed")
    assert b.awaiting() == Tightening(2, 1)
    b.say(*["done"] * 3)
    assert isinstance(b.awaiting(), Review)
    assert b.of(CheckRepeated) == []


def test_a_whole_pass_is_done_at_once_where_the_procedure_allows_it_and_after_asking() -> None:
    b = bench(whole_pass=True)
    assert "All at once: whole pass done." in said(b)
    b.say("understood", "done")
    told = b.say("pass_done")
    assert b.awaiting() == PassAsked(0, 1)
    assert "Done: bolt three, two, four." in told
    assert "moved" not in told
    b.say("wrong")
    assert b.awaiting() == Tightening(0, 1)
    b.say("pass_done", "confirm")
    assert b.awaiting() == TorqueAcknowledge(1)
    assert [f.together for f in b.of(FastenerTightened)] == [False, True, True, True]


def test_a_pass_is_not_done_at_once_where_the_procedure_does_not_allow_it() -> None:
    b = bench()
    b.say("understood")
    assert "pass_done" not in b.expected()
    b.say("pass_done")
    assert b.awaiting() == Tightening(0, 0)


def test_a_question_about_the_whole_pass_outlives_a_rest() -> None:
    b = bench(whole_pass=True)
    b.say("understood", "pass_done")
    told = b.feed(Resumed(at=b.at()))
    assert b.awaiting() == PassAsked(0, 0)
    assert "Set ten pound feet" in told
    assert "Done: bolt one, three, two, four." in told


def test_a_left_hand_thread_is_said_before_the_wrench_turns() -> None:
    b = bench(left_hand=True, stages=[*TORQUES, {"turn": "90 deg"}, {"loosen": "90 deg"},
                                      {"torque": "20 lbf*ft"}])  # fmt: skip
    assert "Left-hand thread. It tightens counterclockwise." in said(b)
    assert b.of(TorqueAnnounced)[0].left_hand
    b.say(*ROUND, *ROUND)
    assert "Left-hand thread. It tightens counterclockwise. Turn each" in said(b)
    b.say(*ROUND)
    assert "Left-hand thread. It loosens clockwise." in said(b)


@pytest.mark.parametrize(
    ("written", "words"),
    [
        (
            {"torque": "20 lbf*ft", "minimum": True},
            "two zero, on the wrench number 3. That is the minimum.",
        ),
        (
            {"torque": "18 lbf*ft", "up_to": "22.3 lbf*ft"},
            "That is the minimum. Go further if need be, never over twenty two pound feet, "
            "two two.",
        ),
    ],
)
def test_a_least_torque_is_said_to_be_the_least(written: Mapping[str, object], words: str) -> None:
    # the most is rounded down to a mark: 22.3 on a wrench of 0.5 would be 22.5 otherwise
    b = bench(stages=[written])
    assert words in said(b)
    (told,) = b.of(TorqueAnnounced)
    assert told.minimum
    assert (told.up_to and str(told.up_to)) == ("22 lbf*ft" if "up_to" in written else None)


def test_what_was_understood_is_recorded_as_a_torque_or_turn_without_what_may_be_said() -> None:
    b = bench(whole_pass=True)
    for _ in range(3):
        b.say(*ROUND)
    found = b.of(Acknowledged)
    assert [f.of for f in found] == ["torque"] * 3
    assert [f.what.split(".")[0].split(", on the")[0] for f in found] == [
        "Set ten pound feet, one zero", "Set twenty pound feet, two zero",
        "Turn each a further ninety degrees, nine zero",
    ]  # fmt: skip
    assert all("say" not in f.what for f in found)
    assert found[2].what.endswith("by angle.")


def test_another_wrench_in_the_middle_of_a_check_has_its_torque_to_be_understood() -> None:
    b = bench(**CHECKED)
    b.say(*ROUND, *ROUND, "understood", "done")
    b.feed(Resumed(at=b.at(), bench=own(name="wrench number 4", resolution="0.5 lbf*ft")))
    assert b.awaiting() == TorqueAcknowledge(2, 1, by_angle=False)


def test_the_question_about_the_whole_pass_can_be_left() -> None:
    b = bench(whole_pass=True)
    b.say("understood", "pass_done")
    assert {"confirm", "wrong", "go_back", "skip"} <= set(b.expected())
    b.say("skip", "skip_not_fitted")
    assert b.state.step == "last"
    assert b.of(FastenerTightened) == []


def test_of_a_check_done_at_once_it_is_asked_whether_none_moved() -> None:
    b = bench(**CHECKED, whole_pass=True)
    b.say(*ROUND, *ROUND)
    assert "whole pass done" in said(b)
    assert "moved" in said(b).partition("may move")[2]
    b.say("understood")
    assert "None of them moved." in b.say("pass_done")


def test_a_fastener_missed_while_loosening_is_loosened() -> None:
    b = bench(stages=[*TORQUES, {"loosen": "180 deg"}, {"torque": "10 lbf*ft"}])
    b.say(*ROUND, *ROUND, "understood", "done", "done")
    told = b.say("missed")
    assert "Loosen bolt three by one hundred and eighty degrees." in told
    assert "If it is loosened already, leave it" in told
    assert "turn" not in told


def test_a_bench_that_cannot_give_the_torque_blocks_the_pass_at_once() -> None:
    b = bench()
    b.say("understood", "done")
    b.feed(Resumed(at=b.at(), bench=own(resolution="50 lbf*ft", upper="200 lbf*ft")))
    assert b.awaiting() == Blocked()


def test_thread_locker_is_said_with_its_open_time() -> None:
    locker = {"id": "blue", "name": "blue locker", "open_time": "10 min", "cure_time": "2 h"}
    b = Bench(procedure({**HEAD, "locker": "blue"}, consumables=[locker]))
    b.open(PEOPLE, own(resolution="0.5 lbf*ft"))
    b.type("charlie")
    b.say("confirm")
    assert "blue locker on clean dry threads. Finish within ten minutes." in said(b)
    assert "Threads dry" not in said(b)


@pytest.mark.parametrize("talk", ["new", "usual", "brief", None])
def test_pass_done_does_not_hide_one_that_moved(talk: Any) -> None:
    b = Bench(
        procedure({**HEAD, "whole_pass": True, "stages": [*TORQUES[1:], {"check": "20 lbf*ft"}]},
                  {"id": "last", "kind": "action"}),
        talk=talk,
    )  # fmt: skip
    b.open(PEOPLE, own(resolution="0.5 lbf*ft"))
    b.type("charlie")
    b.say("confirm", *ROUND, "understood", "moved", "pass_done", "confirm")
    assert b.state.step == "head"
    assert b.awaiting() == TorqueAcknowledge(1)
    assert [f.moved for f in b.of(CheckRepeated)] == [("bolt one",)]
    b.say("understood", "pass_done", "confirm")
    assert [f.together for f in b.of(FastenerTightened)][-4:] == [True] * 4


def test_one_missed_before_another_wrench_came_is_said_with_what_is_set_now() -> None:
    b = bench(stages=TORQUES)
    b.say("understood", "done")
    b.feed(Resumed(at=b.at(), bench=own(unit="N*m", resolution="0.5 N*m", lower="5 N*m",
                                        upper="60 N*m")))  # fmt: skip
    assert "Set thirteen point five newton meters" in said(b)
    b.say("understood")
    told = b.say("missed")
    assert "bolt one" in told
    assert "thirteen point five newton meters, one three point five" in told
    assert "pound feet" not in told
    b.say("done")
    assert str(b.of(FastenerTightened)[-1].torque) == "13.5 N*m"
