"""Taking a job up again: nothing counts that was not heard, no name and no tool is taken on trust.

Power may fail between storing an answer and saying it; weeks may lie between stop and resume.
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from assistant.dialogue.effects import EndSession, Say
from assistant.dialogue.events import Resumed
from assistant.dialogue.facts import NoteTakenBack, ToolChecked
from assistant.dialogue.kinds.inspection import Inspecting
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.dialogue.kinds.tightening.facts import FastenerTightened
from assistant.dialogue.kinds.tightening.states import Tightening
from assistant.dialogue.states import Blocked, Doing, OutOfLimit, Release, Review, Skipping
from assistant.quantities.tools import Bench as ToolBench
from tests.dialogue.kit import GAP, SHIMS, Bench, begun, replay

FEEL = {**GAP, "id": "feel", "gauge": "feelers", "lower": "1.5 thou", "upper": "3 thou"}
BOLTS = {
    "id": "bolts", "kind": "tightening", "tool": "wrench", "target": "10 lbf*ft",
    "fasteners": ["bolt one", "bolt two"], "thread": "dry",
}  # fmt: skip


def resume(b: Bench, tools: ToolBench | None = None) -> str:
    said = b.feed(Resumed(at=b.at(), bench=tools))
    assert replay(b.context, b.events) == b.state
    return said


def wrench(due: str) -> ToolBench:
    tool = {"id": "wrench", "kind": "torque_wrench", "name": "small torque wrench",
            "unit": "lbf*ft", "resolution": "0.5 lbf*ft", "lower": "2 lbf*ft",
            "upper": "25 lbf*ft", "calibration_due": due}  # fmt: skip
    return ToolBench.model_validate({"tools": [tool]})


def shim_bench(*sizes: str) -> ToolBench:
    tool = {"id": "shim_set", "kind": "shim_set", "name": "shim set", "unit": "thou",
            "resolution": "1 thou", "members": [{"size": s} for s in sizes]}  # fmt: skip
    return ToolBench.model_validate({"tools": [tool]})


def test_a_value_that_awaits_going_on_is_read_back_again() -> None:
    b = begun(GAP)
    b.type("reading 13 thou")
    said = resume(b)
    assert b.awaiting() == Review()
    assert "thirteen thou. In limits" in said
    assert "correction" in said


def test_values_of_earlier_positions_are_read_back_again() -> None:
    b = begun({**GAP, "positions": ["top", "bottom"]})
    b.type("reading 13 thou")
    said = resume(b)
    assert b.awaiting() == Measuring(1)
    assert "top: thirteen thou" in said
    assert "Position bottom" in said


def test_what_the_blades_told_so_far_is_read_back_again() -> None:
    b = begun(FEEL)
    b.type("blade 2 goes")
    said = resume(b)
    assert "at least two thou" in said
    assert "Try blade three thou" in said


def test_a_computed_value_is_said_again() -> None:
    half = {"id": "half", "kind": "derived", "quantity": "half gap", "unit": "thou",
            "formula": "g / 2", "inputs": {"g": "gap"}, "upper": "20 thou"}  # fmt: skip
    b = begun(GAP, half)
    b.type("reading 13 thou")
    b.say("go_on")
    assert "half gap: six point five thou. In limits" in resume(b)


LOCK = {"id": "lock", "kind": "caution", "say": "Lock the valve.", "cautions": ["Try the shaft."]}


def test_what_was_warned_of_for_the_whole_job_is_said_again_before_the_work_is() -> None:
    b = begun(LOCK, GAP)
    assert "from before" not in resume(b)  # it is asked for now
    b.say("understood", "understood")
    said = resume(b)
    lock, shaft = (
        f"Caution, from before the break. {text}" for text in ("Lock the valve.", "Try the shaft.")
    )
    assert said.index(lock) < said.index(shaft) < said.index("Use the")
    assert b.awaiting() == Measuring(0)  # it was acknowledged
    tones = [e.tone for e in b.effects if isinstance(e, Say) and "from before" in e.text]
    assert tones == ["caution", "caution"]


def test_once_the_machine_was_started_what_was_locked_out_is_not_said_again() -> None:
    run = {"id": "run", "kind": "log", "every": "10 min", "for": "20 min", "stop": "Press stop.",
           "readings": [{"quantity": "gap", "unit": "thou", "gauge": "dial", "upper": "9 thou"}],
           }  # fmt: skip
    b = begun(LOCK, run)
    b.say("understood", "understood")
    assert "from before" not in resume(b)


def test_what_was_locked_out_again_after_the_machine_ran_is_said_again() -> None:
    run = {"id": "run", "kind": "log", "every": "10 min", "for": "20 min", "stop": "Press stop.",
           "readings": [{"quantity": "gap", "unit": "thou", "gauge": "dial", "upper": "9 thou"}],
           }  # fmt: skip
    again = {"id": "again", "kind": "caution", "say": "Lock it again."}
    b = begun(LOCK, run, again, GAP)
    b.say("understood", "understood", "skip", "skip_already_done", "understood")
    assert b.awaiting() == Measuring(0)
    said = resume(b)
    assert "from before the break. Lock it again." in said
    assert "Lock the valve" not in said  # it was taken off for the run


def test_the_cautions_of_the_work_that_goes_on_are_said_again() -> None:
    b = begun({**BOLTS, "cautions": ["Wear goggles.", "Mind the springs."]})
    assert "from before" not in resume(b)
    b.say("understood")
    said = resume(b)
    assert "from before the break. Wear goggles." in said
    assert said.count("Mind the springs.") == 1  # it is asked for now
    b.say("understood", "understood", "done")
    said = resume(b)
    assert said.index("Wear goggles.") < said.index("Mind the springs.") < said.index("Set the")
    b.say("take_note")  # the break may come within a note
    assert "from before the break. Mind the springs." in resume(b)


def test_a_caution_of_one_step_is_over_with_it() -> None:
    b = begun({"id": "press", "kind": "action", "say": "Press it.", "cautions": ["Fingers."]}, GAP)
    b.say("understood", "done")
    assert "Fingers" not in resume(b)


def test_the_torque_of_a_finished_tightening_is_said_again() -> None:
    b = begun(BOLTS)
    b.say("understood", "done", "done")
    assert "tightened to ten pound feet" in resume(b)


def test_who_was_named_before_the_stop_names_themselves_again() -> None:
    b = begun({"id": "hold", "kind": "inspection", "criteria": "It turns freely."})
    b.type("inspector mike quebec")
    resume(b)
    assert b.awaiting() == Inspecting()
    b.say("accept")
    assert b.awaiting() == Inspecting()


def test_who_was_to_release_names_themselves_again() -> None:
    b = begun(GAP)
    b.type("reading 31 thou")
    b.say("disposition_use_as_is")
    b.type("worn", "inspector mike quebec")
    resume(b)
    b.say("accept")
    assert b.awaits(Release).person is None


def test_an_unanswered_question_beside_the_work_is_dropped() -> None:
    b = begun(BOLTS)
    b.say("understood", "skip")
    assert isinstance(b.awaiting(), Skipping)
    said = resume(b)
    assert b.awaiting() == Tightening(0, 0)
    assert "Set the wrench to ten pound feet" in said


def test_a_wrench_whose_calibration_ran_out_meanwhile_is_not_used() -> None:
    b = begun(BOLTS, tools=wrench("2027-12-31"))
    b.say("understood", "done")
    resume(b, wrench("2025-12-31"))
    assert b.awaiting() == Blocked()
    b.say("done")
    assert len(b.of(FastenerTightened)) == 1
    assert [c.stops for c in b.of(ToolChecked)] == [False, True]


@pytest.mark.parametrize("words", ["stop_work", None])
def test_other_shims_on_the_new_bench_are_told_before_they_are_recorded(words: str | None) -> None:
    b = begun(GAP, SHIMS, tools=shim_bench("5 thou", "5 thou"))
    b.type("reading 13 thou")
    b.say("go_on")
    if words is not None:
        b.say(words, "confirm")
    said = resume(b, shim_bench("2 thou", "8 thou"))
    assert b.awaiting() == Doing()
    assert "eight thou, and two thou" in said
    b.say("done")
    (fact,) = b.of(ShimsChosen)
    assert [str(s) for s in fact.shims] == ["8 thou", "2 thou"]


def test_no_shims_on_the_new_bench_block_the_step() -> None:
    b = begun(GAP, SHIMS, tools=shim_bench("5 thou", "5 thou"))
    b.type("reading 13 thou")
    b.say("go_on")
    assert "No shims fit" in resume(b, shim_bench("1 thou"))
    b.say("done")
    assert b.awaiting() == Blocked()
    assert b.of(ShimsChosen) == []


def dial(due: str) -> ToolBench:
    tool = {"id": "dial", "kind": "dial_indicator", "name": "dial indicator", "unit": "thou",
            "resolution": "0.1 thou", "upper": "200 thou", "calibration_due": due}  # fmt: skip
    return ToolBench.model_validate({"tools": [tool]})


@pytest.mark.parametrize("reading", ["reading 13 thou", "reading 31 thou"])
def test_a_reading_is_not_gone_on_with_by_a_gauge_that_ran_out_meanwhile(reading: str) -> None:
    b = begun(GAP, tools=dial("2027-12-31"))
    b.type(reading)
    assert "calibration" in resume(b, dial("2025-12-31"))
    assert b.awaiting() == Blocked()
    b.say("go_on")
    assert b.of(ReadingConfirmed) == []
    assert [c.stops for c in b.of(ToolChecked)] == [False, True]
    words = "thirteen thou" if "13" in reading else "thirty one thou"
    assert words in resume(b, dial("2027-12-31"))
    assert isinstance(b.awaiting(), Review | OutOfLimit)


@pytest.mark.parametrize(
    "again", ["correction", "that is wrong", "take it again", "reading 12 thou", "top"]
)
def test_a_gauge_that_ran_out_since_takes_no_reading_again(again: str) -> None:
    b = begun({**GAP, "positions": ["top", "bottom"]}, tools=dial("2026-01-05"))
    b.type("reading 13 thou", "reading 14 thou")
    b.now += timedelta(days=1)
    assert "calibration" in b.type(again)
    assert b.awaiting() == Blocked()
    assert [c.stops for c in b.of(ToolChecked)] == [False, True]


def test_a_gauge_that_is_still_good_is_not_recorded_at_every_correction() -> None:
    b = begun(GAP, tools=dial("2027-12-31"))
    b.type("reading 13 thou")
    b.say("correction")
    b.type("reading 14 thou")
    resume(b, dial("2027-12-31"))
    assert b.awaiting() == Review()
    assert len(b.of(ToolChecked)) == 1


def test_a_finished_job_is_said_to_be_finished_and_ends_again() -> None:
    b = begun()
    b.say("done")
    said = resume(b)
    assert "finished" in said
    assert b.effects[-1] == EndSession("finished")


def test_a_note_taken_before_the_rest_is_not_taken_back_after_it() -> None:
    b = begun(GAP)
    b.type("reading 12 thou")
    b.say("take_note")
    b.type("the dial sticks")
    before = b.state
    assert before.kept is not None
    resume(b)
    assert b.state.kept is None
    b.say("correction")
    assert b.of(NoteTakenBack) == []


def test_a_blocked_step_and_a_wait_that_has_not_begun_can_be_gone_back_from() -> None:
    cure = {"id": "cure", "kind": "wait", "duration": "1 h"}
    b = begun(GAP, cure)
    b.type("reading 12 thou")
    b.say("go_on")
    assert {"go_back", "correction"} <= set(b.expected())
    b = begun(GAP, BOLTS, tools=wrench("2020-01-01"))
    b.type("reading 12 thou")
    b.say("go_on")
    assert b.awaiting() == Blocked()
    assert {"go_back", "skip", "correction"} <= set(b.expected())
