"""A tightening skipped after it was begun holds back whatever names it as a prerequisite."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from assistant.dialogue.facts import StepDone, WaitStarted, WorkFinished
from assistant.dialogue.kinds.tightening.states import TorqueAcknowledge
from assistant.dialogue.kinds.wait import WaitOffered
from assistant.dialogue.states import Review, Waiting
from tests.dialogue.kit import Bench, procedure

NUTS = {
    "id": "nuts", "kind": "tightening", "tool": "wrench", "target": "10 lbf*ft",
    "fasteners": ["nut one", "nut two", "nut three"], "thread": "dry",
}  # fmt: skip
SETTLE = {"id": "settle", "kind": "wait", "duration": "20 min", "after": ["nuts"]}


def bench(*steps: Mapping[str, object]) -> Bench:
    b = Bench(procedure(*steps))
    b.start()
    return b


@pytest.mark.parametrize("reason", ["skip_tool_missing", "skip_already_done", "skip_not_fitted"])
def test_no_wait_opens_that_needs_a_tightening_left_part_way(reason: str) -> None:
    b = bench(NUTS, SETTLE)
    b.say("understood", "done", "done", "skip")
    said = b.say(reason)
    assert "Do not rely on this joint" in said
    assert "cannot go on: settle waits" in said
    assert b.awaiting() == Waiting()
    assert b.of(WaitStarted) == []
    assert b.of(WorkFinished) == []
    (left,) = b.of(StepDone)
    assert left.part_way
    assert "go_back" in b.expected()


def test_going_back_to_it_and_doing_it_lets_the_wait_open() -> None:
    b = bench(NUTS, SETTLE)
    b.say("understood", "done", "skip", "skip_tool_missing", "go_back", "confirm")
    assert b.awaiting() == TorqueAcknowledge(0)
    b.say("understood", "done", "done", "done")
    assert isinstance(b.awaiting(), Review)
    b.say("go_on")
    assert b.awaiting() == WaitOffered()


def test_a_step_that_does_not_need_it_goes_on() -> None:
    b = bench(NUTS, {"id": "other", "kind": "action"})
    b.say("understood", "done", "skip", "skip_tool_missing")
    assert b.state.step == "other"


def test_a_tightening_skipped_before_it_was_begun_is_left_out_as_before() -> None:
    b = bench(NUTS, SETTLE)
    b.say("skip", "skip_not_fitted")
    assert b.awaiting() == WaitOffered()
    assert not b.of(StepDone)[0].part_way


def test_a_tightening_that_is_whole_holds_nothing_back() -> None:
    b = bench(NUTS, SETTLE)
    b.say("understood", "done", "done", "done", "skip", "skip_tool_missing")
    assert b.awaiting() == WaitOffered()
