"""The other step kinds: cautions, choices, numbers, waits, hold points, skips, going back."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from assistant.dialogue.effects import EndSession, StartTimer
from assistant.dialogue.events import Resumed, TimerElapsed
from assistant.dialogue.facts import (
    Acknowledged,
    StepDone,
    StepReopened,
    WaitOver,
    WaitStarted,
    WorkFinished,
)
from assistant.dialogue.kinds.choice import Chosen
from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.identification import Identified, Spelled
from assistant.dialogue.kinds.inspection import Inspected, Inspecting
from assistant.dialogue.kinds.measurement.facts import ReadingSuperseded
from assistant.dialogue.states import Blocked, Ended, GoingBack, OutOfLimit, Review, Waiting
from assistant.dialogue.talk import Talk
from tests.dialogue.kit import Bench, procedure

A = {"id": "first", "kind": "action"}
B = {"id": "second", "kind": "action"}
FLOAT = {
    "id": "end_float", "kind": "measurement", "quantity": "end float", "unit": "thou",
    "gauge": "dial", "lower": "1 thou", "upper": "4 thou",
}  # fmt: skip


def started(*steps: Mapping[str, object], talk: Talk | None = "new") -> Bench:
    bench = Bench(procedure(*steps), talk=talk)
    bench.start()
    return bench


def test_each_caution_is_acknowledged_before_the_work_is_told() -> None:
    b = started({**A, "say": "Lower the shaft.", "cautions": ["Mind the sling.", "It is hot."]})
    said = " ".join(b.state.last_said)
    assert "Mind the sling" in said
    assert "Lower the shaft" not in said
    b.say("done")
    assert b.of(StepDone) == []
    assert "It is hot" in b.say("understood")
    assert "Lower the shaft" in b.say("understood")
    assert [a.what for a in b.of(Acknowledged)] == ["Mind the sling.", "It is hot."]


def test_a_caution_step_cannot_be_skipped() -> None:
    b = started({"id": "hot", "kind": "caution", "say": "It is hot."}, A)
    b.say("skip")
    assert b.state.step == "hot"
    b.say("understood")
    assert b.state.step == "first"


def test_an_action_tells_orientation_materials_and_what_to_expect() -> None:
    b = started(
        {**A, "orientation": "Lip inwards.", "materials": ["oil"], "expect": "It turns freely."}
    )
    said = " ".join(b.state.last_said)
    assert "Lip inwards" in said
    assert "light machine oil" in said
    assert "It turns freely" in said


def test_a_choice_is_read_back_and_branches() -> None:
    seal = {
        "id": "seal", "kind": "choice",
        "options": [{"id": "lip", "say": "lip seal"}, {"id": "felt", "say": "felt ring"}],
    }  # fmt: skip
    b = started(seal, {**A, "when": {"choice": {"seal": "lip"}}}, B)
    b.type("felt ring")
    b.say("wrong")
    b.type("lip seal")
    assert b.of(Chosen) == []
    b.say("confirm")
    assert [c.option for c in b.of(Chosen)] == ["lip"]
    assert b.state.step == "first"


def test_a_number_is_checked_for_form_and_confirmed() -> None:
    b = started(
        {"id": "serial", "kind": "identification", "part": "shaft", "what": "serial",
         "form": "^KB[0-9]{3}$"},
        A,
    )  # fmt: skip
    assert "form" in b.type("kilo bravo two")
    assert b.awaiting() == Spelled()
    assert "kilo bravo two zero seven" in b.type("kilo bravo two zero seven")
    b.say("wrong")
    b.type("kilo bravo two one seven")
    b.say("confirm")
    assert [i.text for i in b.of(Identified)] == ["KB217"]


def wait_bench() -> Bench:
    b = started({"id": "cure", "kind": "wait", "duration": "30 min", "meanwhile": ["first"]}, A, B)
    b.say("go_on")
    return b


def test_a_wait_lets_only_its_named_steps_go_on() -> None:
    b = wait_bench()
    assert b.state.step == "first"
    b.say("done")
    assert b.awaiting() == Waiting()
    (wait,) = b.of(WaitStarted)
    until = datetime.fromisoformat(wait.until)
    assert until - datetime.fromisoformat(wait.started) == timedelta(minutes=30)
    b.feed(TimerElapsed(at=until.isoformat(), step="cure"))
    assert b.state.step == "second"
    assert len(b.of(WaitOver)) == 1


def test_a_timer_that_rings_early_is_not_believed() -> None:
    b = wait_bench()
    b.say("done")
    b.feed(TimerElapsed(at=b.at(), step="cure"))
    assert b.awaiting() == Waiting()
    assert b.of(WaitOver) == []
    assert any(isinstance(e, StartTimer) for e in b.effects)


def test_a_wait_survives_a_restart() -> None:
    b = wait_bench()
    said = b.feed(Resumed(at=b.at()))
    assert "cure" in said
    assert [e.step for e in b.effects if isinstance(e, StartTimer)] == ["cure"]


def test_what_is_left_of_a_wait_is_told() -> None:
    b = wait_bench()
    b.now += timedelta(minutes=10)
    assert "20 minutes" in b.say("what_is_left")


def test_a_hold_point_needs_another_person_than_the_builder() -> None:
    b = started({"id": "hold", "kind": "inspection", "criteria": "All marked."}, A)
    b.say("accept")
    assert b.state.step == "hold"
    assert "is the builder" in b.type("inspector oscar bravo")
    assert b.awaiting() == Inspecting()
    b.type("inspector mike quebec")
    b.say("refuse")
    assert b.state.step == "hold"
    b.type("inspector mike quebec")
    b.say("accept")
    assert [(i.person, i.accepted) for i in b.of(Inspected)] == [
        ("Marta Quill", False),
        ("Marta Quill", True),
    ]
    assert b.state.step == "first"


def test_a_hold_point_cannot_be_skipped() -> None:
    b = started({"id": "hold", "kind": "inspection", "criteria": "All marked."}, A)
    b.say("skip")
    assert b.awaiting() == Inspecting()


def test_skipping_needs_a_reason_and_stands_in_the_record() -> None:
    b = started(A, B)
    b.say("skip", "wrong")
    assert b.state.step == "first"
    b.say("skip", "skip_part_missing")
    assert b.state.step == "second"
    b.say("done")
    (finished,) = b.of(WorkFinished)
    assert finished.skipped == ("first",)
    assert b.awaiting() == Ended()
    assert EndSession("finished") in b.effects


def test_going_back_over_a_reading_asks_first_and_supersedes_it() -> None:
    b = started(FLOAT, A)
    b.type("reading 2 thou")
    b.say("go_on", "go_back")
    assert isinstance(b.awaiting(), GoingBack)
    b.say("wrong")
    assert b.state.step == "first"
    b.say("go_back", "confirm")
    assert b.state.step == "end_float"
    assert [s.why for s in b.of(ReadingSuperseded)] == ["reopened"]
    assert {r.step for r in b.of(StepReopened)} == {"end_float", "first"}


def test_a_derived_value_is_computed_judged_and_can_be_measured_again() -> None:
    b = started(
        FLOAT,
        {"id": "half", "kind": "derived", "quantity": "half float", "unit": "thou",
         "formula": "f / 2", "inputs": {"f": "end_float"}, "upper": "1 thou"},
        A,
    )  # fmt: skip
    b.type("reading 3 thou")
    said = b.say("go_on")
    assert "one point five thou" in said
    assert b.awaiting() == OutOfLimit(0)
    b.say("remeasure")
    assert b.state.step == "end_float"
    b.type("reading 2 thou")
    assert "In limits" in b.say("go_on")
    assert [str(v.value.number()) for v in b.of(ValueDerived)] == ["1.5", "1"]
    assert b.state.step == "first"


def test_a_derived_value_without_its_readings_blocks_until_skipped() -> None:
    b = started(
        FLOAT,
        {"id": "half", "kind": "derived", "quantity": "half float", "unit": "thou",
         "formula": "f / 2", "inputs": {"f": "end_float"}, "upper": "1 thou"},
        A,
    )  # fmt: skip
    b.say("skip", "skip_tool_missing")
    assert b.awaiting() == Blocked()
    b.say("skip", "skip_tool_missing")
    assert b.state.step == "first"


def test_a_wait_that_runs_out_while_a_note_is_asked_does_not_strand_the_job() -> None:
    for word, back in (("take_note", None), ("stop_work", "wrong")):
        b = wait_bench()
        b.say("done", word)
        (wait,) = b.of(WaitStarted)
        b.feed(TimerElapsed(at=wait.until, step="cure"))
        if back is None:
            b.type("all quiet")
        else:
            b.say(back)
        assert b.state.step == "second", word


def test_nothing_is_computed_with_the_value_of_a_skipped_step() -> None:
    def half(name: str, source: str) -> dict[str, object]:
        return {"id": name, "kind": "derived", "quantity": name, "unit": "thou",
                "formula": "f / 2", "inputs": {"f": source}, "lower": "1 thou"}  # fmt: skip

    b = started(FLOAT, half("half", "end_float"), half("quarter", "half"), A, talk=None)
    b.type("reading 3 thou")
    b.say("go_on")
    assert b.awaiting() == Review()
    b.say("skip", "skip_already_done")
    assert b.awaiting() == Blocked()
    assert [v.step for v in b.of(ValueDerived)] == ["half"]


def test_measuring_again_for_a_computed_value_asks_before_other_work_is_voided() -> None:
    half = {"id": "half", "kind": "derived", "quantity": "half", "unit": "thou",
            "formula": "f / 2", "inputs": {"f": "end_float"}, "lower": "1 thou"}  # fmt: skip
    b = started(FLOAT, B, half, A)
    b.type("reading 1.5 thou")
    b.say("go_on", "done")
    said = b.say("remeasure")
    assert "takes back what was recorded since" in said
    assert b.of(StepReopened) == []
    b.say("wrong")
    assert b.awaiting() == OutOfLimit(0)
    b.say("remeasure", "confirm")
    assert b.state.step == "end_float"
    assert b.state.derived == {}


def test_what_one_wait_held_up_opens_although_another_runs_and_a_question_was_asked() -> None:
    p = procedure(
        {"id": "paint", "kind": "wait", "duration": "30 min", "meanwhile": ["glue"]},
        {"id": "glue", "kind": "wait", "duration": "2 h", "meanwhile": ["bolt"]},
        {"id": "bolt", "kind": "action", "after": ["paint"]},
        {"id": "last", "kind": "action", "after": ["glue"]},
    )
    b = Bench(p)
    b.start()
    b.say("done", "done")
    assert b.awaiting() == Waiting()
    b.say("stop_work")
    b.now += timedelta(minutes=31)
    b.feed(TimerElapsed(at=b.at(), step="paint"))
    b.say("wrong")
    assert b.state.step == "bolt"


def test_a_step_left_out_by_a_choice_comes_when_the_choice_is_made_again() -> None:
    seal = {"id": "seal", "kind": "choice", "options": [
        {"id": "lip", "say": "lip seal"}, {"id": "felt", "say": "felt ring"}]}  # fmt: skip
    b = started(seal, {**A, "when": {"choice": {"seal": "lip"}}}, B)
    b.type("felt ring")
    b.say("confirm")
    assert b.state.outcomes["first"] == "not_applicable"
    b.say("go_back", "confirm")
    assert b.state.step == "seal"
    b.type("lip seal")
    b.say("confirm")
    assert b.state.step == "first"
