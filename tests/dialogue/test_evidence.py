"""Pictures that are needed, matched pairs, parts confirmed one by one, and longest times."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from assistant.dialogue.effects import FetchPicture
from assistant.dialogue.events import PictureFound, TimerElapsed
from assistant.dialogue.facts import StepDone, WaitStarted
from assistant.dialogue.kinds.action import (
    DoingParts,
    PartDone,
    PartReopened,
    ReadyForClock,
    TimedWork,
)
from assistant.dialogue.kinds.identification import Identified, NumbersDiffer, Spelled
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.states import Blocked, Doing, Ended, PictureOwed
from tests.dialogue.kit import LAST, Bench, procedure, replay


def bench(*steps: dict[str, Any]) -> Bench:
    parts = [{"id": "pinion", "name": "pinion", "marked": True},
             {"id": "gear", "name": "ring gear", "marked": True}]  # fmt: skip
    b = Bench(procedure(*steps, LAST, parts=parts))
    b.start()
    return b


def found(b: Bench, step: str, file: str = "a" * 64) -> str:
    """The newest picture is found for a step."""
    assert any(isinstance(e, FetchPicture) for e in b.effects)
    return b.feed(
        PictureFound(
            at=b.at(),
            step=step,
            file=file,
            name="KB2_0001.jpg",
            media="jpeg",
            size=9,
            taken="2026-01-05T08:00:00+00:00",
        )
    )


MARK = {"id": "mark", "kind": "action", "picture": "The mark on the gear."}


def test_a_step_is_not_done_without_its_picture() -> None:
    b = bench(MARK)
    assert "A picture is needed: The mark on the gear." in b.say("done")
    assert b.awaiting() == PictureOwed()
    assert "A picture is needed" in b.say("go_on")
    assert b.of(StepDone) == []
    b.say("attach_picture")
    assert "KB2_0001" in found(b, "mark")
    b.say("go_on")
    assert [d.step for d in b.of(StepDone)] == ["mark"]
    assert replay(b.context, b.events) == b.state


def test_a_picture_attached_before_is_one() -> None:
    b = bench(MARK)
    b.say("attach_picture")
    found(b, "mark")
    b.say("done")
    assert b.state.step == "last"


def test_a_picture_taken_back_is_none() -> None:
    b = bench(MARK)
    b.say("attach_picture")
    found(b, "mark")
    b.say("correction", "done")
    assert b.awaiting() == PictureOwed()


def test_a_step_gone_back_to_needs_another_picture() -> None:
    b = bench(MARK)
    b.say("attach_picture")
    found(b, "mark")
    b.say("done", "go_back")
    assert b.state.step == "mark"
    b.say("done")
    assert b.awaiting() == PictureOwed()


def test_a_picture_of_another_step_is_none_of_this_one() -> None:
    b = bench({"id": "first", "kind": "action"}, MARK)
    b.say("attach_picture")
    found(b, "first")
    b.say("done", "done")
    assert b.awaiting() == PictureOwed()


def test_without_a_picture_the_step_may_be_left_open_with_a_reason() -> None:
    b = bench(MARK)
    b.say("done", "skip", "skip_tool_missing")
    assert [d.how for d in b.of(StepDone)] == ["skipped"]


def test_readings_count_and_the_picture_is_still_owed() -> None:
    size = {"id": "pin", "kind": "measurement", "quantity": "size", "unit": "mm", "gauge": "mic",
            "lower": "1 mm", "upper": "3 mm", "picture": "The scale."}  # fmt: skip
    b = bench(size)
    b.type("reading two")
    b.say("go_on")
    assert len(b.of(ReadingConfirmed)) == 1
    assert b.awaiting() == PictureOwed()


PAIR = (
    {"id": "pinion_mark", "kind": "identification", "part": "pinion", "what": "mark"},
    {"id": "gear_mark", "kind": "identification", "part": "gear", "what": "mark",
     "same_as": "pinion_mark"},
)  # fmt: skip


def test_two_parts_with_the_same_mark_are_a_pair() -> None:
    b = bench(*PAIR)
    for _ in PAIR:
        b.type("kilo seven")
        b.say("confirm")
    assert [i.text for i in b.of(Identified)] == ["K7", "K7"]
    assert b.state.step == "last"


def test_two_marks_that_differ_do_not_pass_and_both_are_said() -> None:
    b = bench(*PAIR)
    b.type("kilo seven")
    b.say("confirm")
    b.type("kilo eight")
    said = b.say("confirm")
    assert "kilo eight" in said
    assert "kilo seven" in said
    assert b.awaiting() == Spelled()
    assert [i.step for i in b.of(Identified)] == ["pinion_mark"]
    (differ,) = b.of(NumbersDiffer)
    assert (differ.text, differ.expected) == ("K8", "K7")
    assert replay(b.context, b.events) == b.state


def test_a_number_with_nothing_to_compare_is_not_taken() -> None:
    b = bench(*PAIR)
    b.say("skip", "skip_not_fitted")
    assert b.awaiting() == Blocked()


def test_going_back_takes_the_first_number_back_too() -> None:
    b = bench(*PAIR)
    b.type("kilo seven")
    b.say("confirm", "go_back", "confirm")
    assert b.state.identified == {}


HOSES = {"id": "hoses", "kind": "action", "each": ["front hose", "rear hose", "drain hose"]}


def test_each_of_several_parts_is_confirmed_by_itself() -> None:
    b = bench(HOSES)
    assert b.awaiting() == DoingParts(0)
    assert "rear hose" in b.say("done")
    b.say("done")
    assert b.of(StepDone) == []
    b.say("done")
    assert [p.name for p in b.of(PartDone)] == ["front hose", "rear hose", "drain hose"]
    assert b.state.step == "last"


def test_a_part_confirmed_too_soon_is_done_again() -> None:
    b = bench(HOSES)
    b.say("done")
    assert "front hose" in b.say("wrong")
    assert [p.name for p in b.of(PartReopened)] == ["front hose"]
    b.say("wrong")
    assert len(b.of(PartReopened)) == 1  # there is none before the first
    b.say("done", "done", "done")
    assert b.state.step == "last"


RING = {"id": "ring", "kind": "action", "within": "90 s"}


def test_work_within_its_time_says_how_long_it_took() -> None:
    b = bench(RING)
    assert b.awaiting() == ReadyForClock()
    b.say("go_on")
    b.now += timedelta(seconds=40)
    assert "Done in 41 seconds" in b.say("done")
    (timed,) = b.of(TimedWork)
    assert (timed.took_s, timed.over_s) == (41, 0)
    assert b.state.waits == {}
    assert b.of(WaitStarted) == []


def test_time_that_is_up_is_announced_and_the_time_over_is_said_and_recorded() -> None:
    b = bench(RING)
    b.say("go_on")
    b.now += timedelta(seconds=90)
    assert "The time is up" in b.feed(TimerElapsed(at=b.at(), step="ring"))
    assert b.awaiting() == DoingParts(0)
    b.now += timedelta(seconds=4)
    assert "6 seconds over" in b.say("done")
    (timed,) = b.of(TimedWork)
    assert (timed.took_s, timed.over_s) == (96, 6)
    assert b.state.step == "last"
    assert replay(b.context, b.events) == b.state


def test_several_parts_against_the_clock() -> None:
    b = bench({**HOSES, "within": "2 min"})
    b.say("go_on", "done", "done", "done")
    assert len(b.of(PartDone)) == 3
    assert len(b.of(TimedWork)) == 1


def test_timed_work_that_is_left_runs_no_clock() -> None:
    b = bench({"id": "first", "kind": "action"}, RING)
    b.say("done", "go_on", "go_back")
    assert b.state.waits == {}
    assert b.awaiting() == Doing()


def test_plain_work_is_as_it_was() -> None:
    b = bench({"id": "oil", "kind": "action"})
    assert b.awaiting() == Doing()
    b.say("done", "done")
    assert b.awaiting() == Ended()
