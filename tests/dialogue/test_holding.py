"""A step that showed a value out of limits is left only with a release, or a value within them."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.dialogue.commands import SKIP_REASONS
from assistant.dialogue.events import Resumed
from assistant.dialogue.expectation import listening
from assistant.dialogue.facts import DispositionRecorded, StepDone, WorkFinished
from assistant.dialogue.kinds.choice import Choosing
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.states import DispositionReason, Doing, Noting, OutOfLimit, Release, Review
from tests.dialogue.kit import GAP, HALF, LAST, Bench, procedure, replay

FIRST = {"id": "first", "kind": "action"}
SEAL = {
    "id": "seal", "kind": "choice",
    "options": [{"id": "felt", "say": "felt ring"}, {"id": "cord", "say": "rubber cord"}],
}  # fmt: skip


def started(*steps: Mapping[str, object]) -> Bench:
    b = Bench(procedure(*steps))
    b.start()
    return b


def release(b: Bench, disposition: str = "use_as_is") -> str:
    b.say("disposition_" + disposition)
    b.type("worn but sound", "inspector mike quebec")
    return b.say("accept")


LEAVING = (
    ("correction", "skip", "skip_already_done"),
    ("remeasure", "skip", "skip_not_fitted"),
    ("wrong", "skip", "skip_tool_missing"),
    ("disposition_rework", "correction", "correction", "skip", "skip_already_done"),
    ("go_back", "confirm", "done", "skip", "skip_already_done"),
    ("go_back", "confirm", "skip", "skip_already_done", "skip", "skip_already_done"),
)


@pytest.mark.parametrize("way", LEAVING)
def test_the_builder_alone_does_not_get_past_it(way: tuple[str, ...]) -> None:
    b = started(FIRST, GAP, LAST)
    b.say("done")
    b.type("reading 31 thou")
    b.say(*way)
    assert b.state.step == "gap"
    assert "gap" not in b.state.outcomes
    assert not [d for d in b.of(DispositionRecorded) if d.released_by]


def test_what_is_refused_is_said_with_the_value_and_what_to_do() -> None:
    b = started(FIRST, GAP, LAST)
    b.say("done")
    b.type("reading 31 thou")
    b.say("correction")
    said = b.say("skip")
    assert "thirty one thou. Out of limits" in said
    assert "inspector" in said
    assert b.awaiting() == OutOfLimit(0)


def test_a_slip_of_the_tongue_is_corrected_by_a_reading_within_limits() -> None:
    b = started(GAP, LAST)
    b.type("reading 31 thou")
    b.say("correction")
    b.type("reading 13 thou")
    b.say("skip", "skip_not_fitted")
    assert [s.how for s in b.of(StepDone)] == ["skipped"]


def test_a_release_of_the_value_taken_back_lets_the_step_be_skipped() -> None:
    b = started(GAP, LAST)
    b.type("reading 31 thou")
    b.say("correction", "skip")
    release(b)
    assert b.awaiting() == Measuring(0)
    b.say("skip", "skip_tool_missing")
    assert b.state.step == "last"
    assert [d.released_by for d in b.of(DispositionRecorded)] == [None, "Marta Quill"]


def test_a_release_is_for_the_value_that_was_released() -> None:
    b = started(GAP, LAST)
    b.type("reading 31 thou")
    b.say("correction", "skip")
    release(b)
    b.type("reading 35 thou")
    assert b.awaiting() == OutOfLimit(0)
    b.say("correction", "skip")
    assert b.awaiting() == OutOfLimit(0)


@pytest.mark.parametrize("disposition", ["rework", "replace"])
def test_a_part_to_be_put_right_is_measured_before_the_step_is_left(disposition: str) -> None:
    b = started(GAP, LAST)
    b.type("reading 31 thou")
    release(b, disposition)
    b.say("skip", "skip_already_done")
    assert b.awaiting() == OutOfLimit(0)


def test_taking_back_a_released_value_takes_back_the_release() -> None:
    b = started(GAP, LAST)
    b.type("reading 31 thou")
    release(b)
    assert b.awaiting() == Review()
    b.say("correction", "skip", "skip_already_done")
    assert b.state.step == "gap"


def test_a_computed_value_holds_its_step_when_its_reading_is_skipped() -> None:
    b = started(GAP, HALF, LAST)
    b.type("reading 29 thou")
    b.say("go_on")
    assert b.awaiting() == OutOfLimit(0)
    b.say("go_back", "confirm", "skip", "skip_already_done")
    assert b.state.step == "half"
    said = b.say("skip")
    assert "fourteen point five thou" in said
    assert b.awaiting() == OutOfLimit(0)
    release(b)
    b.say("skip", "skip_already_done")
    assert b.state.step == "last"


def test_answering_otherwise_does_not_leave_it_out() -> None:
    b = started(SEAL, {**GAP, "when": {"choice": {"seal": "felt"}}}, LAST)
    b.type("felt ring")
    b.say("confirm")
    b.type("reading 31 thou")
    b.say("go_back", "confirm")
    assert b.awaiting() == Choosing()
    b.type("rubber cord")
    b.say("confirm")
    assert b.state.step == "gap"


def test_a_position_holds_the_step_although_the_others_pass() -> None:
    b = started({**GAP, "positions": ["top", "bottom"]}, LAST)
    b.type("reading 13 thou", "reading 31 thou")
    b.say("remeasure", "skip", "skip_already_done")
    assert b.awaiting() == OutOfLimit(1)
    assert set(b.state.values["gap"]) == {"top"}


BACK = ("correction", "wrong", "remeasure", "go_back", "confirm", "skip", *SKIP_REASONS)
"""What gets away from a value or a step is said more often than the rest."""


def builders_line(b: Bench, choice: int) -> str:
    """What the builder may say now, without the inspector and without a value in limits."""
    if isinstance(b.awaiting(), DispositionReason | Noting):
        return ("worn but sound", "that is wrong", "what can i say")[choice % 3]
    spec = listening(b.context, b.state).spec
    leaving = [c for c in spec.commands if c in BACK] or list(spec.commands)
    commands = [b.context.language.phrase_for(c) for c in (*leaving * 3, *spec.commands)]
    others = [words for who, words in spec.phrases if who != "MQ"]
    values = ["reading 31 thou", "reading 40 thou"] if spec.reading is not None else []
    options = commands + others * 4 + values
    return options[choice % len(options)]


@pytest.mark.uncounted
@settings(max_examples=150, deadline=None)
@given(st.lists(st.integers(0, 10_000), max_size=40))
def test_no_words_of_the_builder_get_past_it(choices: list[int]) -> None:
    b = started(SEAL, {**GAP, "when": {"choice": {"seal": "felt"}}}, HALF, LAST)
    b.type("felt ring")
    b.say("confirm")
    b.type("reading 31 thou")
    for choice in choices:
        if b.state.stopped:
            b.feed(Resumed(at=b.at()))
        b.type(builders_line(b, choice))
        assert b.state.outcomes.get("gap") is None
        assert "last" not in b.state.history
    assert not b.of(WorkFinished)
    assert not b.of(ReadingConfirmed)
    assert replay(b.context, b.events) == b.state


def test_a_step_after_an_accepted_deviation_does_not_say_that_it_failed() -> None:
    failed = {"id": "tag", "kind": "action", "say": "The gap is not within its limits.",
              "when": {"reading": {"gap": "out"}}}  # fmt: skip
    b = started(GAP, failed, LAST)
    b.type("reading 31 thou")
    release(b)
    assert "not within" not in b.say("go_on")
    assert b.state.step == "last"
    b = started(GAP, failed, LAST)
    b.type("reading 31 thou")
    release(b, "refer")
    assert "not within" in b.say("go_on")
    assert b.awaiting() == Doing()


def test_the_reason_awaits_a_second_person_whatever_its_words() -> None:
    b = started(GAP, LAST)
    b.type("reading 31 thou")
    b.say("disposition_use_as_is")
    b.type("skip it")
    assert isinstance(b.awaiting(), Release)
