"""A value counts only after its whole readback, and can be corrected where it is read back."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import pytest

from assistant.dialogue.effects import Say
from assistant.dialogue.events import SpeechCut, Unsaid
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed, ReadingSuperseded
from assistant.dialogue.kinds.measurement.states import DigitCheck, Measuring
from assistant.dialogue.states import Doing, OutOfLimit, Review
from tests.dialogue.kit import GAP, LAST, Bench, procedure, replay
from tests.dialogue.test_keeping import attach

TWO = {**GAP, "positions": ["top", "bottom"]}


def started(*steps: Mapping[str, object]) -> Bench:
    b = Bench(procedure(*steps, LAST))
    b.start()
    return b


def cut(b: Bench, first: int = 0) -> None:
    """The last answer was cut short in its line number ``first``."""
    said = [e for e in b.effects if isinstance(e, Say)]
    lines = tuple(Unsaid(text=s.text, tone=s.tone, about=s.about) for s in said[first:])
    b.feed(SpeechCut(at=b.at(), unsaid=lines))


def confirmed(b: Bench) -> list[str]:
    assert replay(b.context, b.events) == b.state
    return [str(c.indication) for c in b.of(ReadingConfirmed)]


def note(b: Bench) -> None:
    b.say("slower", "take_note")
    b.type("the dial sticks")


@pytest.mark.parametrize("kept", [note, attach])
def test_taking_back_a_note_or_picture_leaves_the_readback_owed(
    kept: Callable[[Bench], object],
) -> None:
    b = started(GAP)
    b.type("reading 19 thou")
    cut(b)
    kept(b)
    b.say("correction")
    assert "nineteen thou" in b.say("go_on")
    assert confirmed(b) == []
    b.say("go_on")
    assert confirmed(b) == ["19 thou"]


def test_taking_back_a_picture_drops_what_was_owed_of_it() -> None:
    b = started(GAP)
    attach(b)
    cut(b)
    b.say("correction")
    assert b.state.unsaid == ()


@pytest.mark.parametrize("word", ["correction", "wrong"])
def test_taking_back_the_value_drops_its_readback_and_no_other(word: str) -> None:
    b = started(TWO)
    b.type("reading 13 thou")
    top = next(e for e in b.effects if isinstance(e, Say) and e.tone == "readback")
    b.type("reading 19 thou")
    cut(b)
    b.feed(SpeechCut(at=b.at(), unsaid=(Unsaid(text=top.text, tone=top.tone, about=top.about),)))
    b.say(word)
    assert [line.text for line in b.state.unsaid if line.tone == "readback"] == [top.text]
    b.type("reading 14 thou")  # brings back what is owed of the other value first
    assert b.awaiting() == Measuring(1)
    b.type("reading 14 thou")
    b.say("go_on")
    assert confirmed(b) == ["13 thou", "14 thou"]


def test_a_readback_owed_of_a_disposition_taken_back_is_still_owed() -> None:
    b = started(GAP)
    b.type("reading 31 thou")
    b.say("disposition_use_as_is")
    b.type("worn")
    value = Unsaid(text="thirty one thou.", tone="readback", about="gap/")
    b.feed(SpeechCut(at=b.at(), unsaid=(value,)))
    b.say("correction")
    assert b.awaiting() == OutOfLimit(0)
    assert [line.text for line in b.state.unsaid] == ["thirty one thou."]


def test_lines_stored_without_what_they_are_about_replay_as_they_did() -> None:
    b = started(GAP)
    b.type("reading 19 thou")
    b.feed(SpeechCut(at=b.at(), unsaid=(Unsaid(text="nineteen thou.", tone="readback"),)))
    b.say("correction")
    assert b.state.unsaid == ()


@pytest.mark.parametrize("word", ["correction", "wrong"])
def test_a_value_read_back_is_taken_back_where_it_is_read_back(word: str) -> None:
    b = started(GAP)
    b.type("reading 19 thou")
    assert "Say the reading again" in b.say(word)
    assert b.awaiting() == Measuring(0)
    b.type("reading 9 thou")
    b.say("go_on")
    assert confirmed(b) == ["9 thou"]


def test_that_is_wrong_takes_back_the_position_before_while_the_next_is_awaited() -> None:
    b = started(TWO)
    b.type("reading 19 thou")
    b.say("wrong")
    assert b.awaiting() == Measuring(0)


@pytest.mark.parametrize("first", ["reading 19 thou", "reading 31 thou"])
def test_a_new_reading_replaces_the_one_just_read_back(first: str) -> None:
    b = started(GAP)
    b.type(first)
    cut(b)
    assert "nine thou" in b.type("reading 9 thou")
    assert b.awaiting() == Review()
    assert len(b.of(ReadingSuperseded)) == 1
    b.say("go_on")
    assert confirmed(b) == ["9 thou"]


def test_a_new_reading_is_doubted_like_any_other() -> None:
    b = started(GAP)
    b.type("reading 19 thou")
    b.hear("reading nine thou", 0.6)
    assert isinstance(b.awaiting(), DigitCheck)
    b.say("wrong")
    assert b.awaiting() == Measuring(0)
    b.say("go_on")
    assert confirmed(b) == []


def test_a_new_reading_at_the_review_replaces_the_position_said_last() -> None:
    b = started(TWO)
    b.type("reading 13 thou", "reading 19 thou")
    assert "bottom: nine thou" in b.type("reading 9 thou")
    b.say("go_on")
    assert confirmed(b) == ["13 thou", "9 thou"]


def test_correction_after_the_step_names_the_recorded_value_and_the_way_back() -> None:
    b = started(TWO, {"id": "wipe", "kind": "action"})
    b.type("reading 13 thou", "reading 19 thou")
    b.say("go_on")
    said = b.say("correction")
    assert "bottom: nineteen thou is recorded at gap" in said
    assert said.endswith("say go back.")
    assert confirmed(b) == ["13 thou", "19 thou"]
    b.say("done")
    assert b.say("correction").endswith("say go back, 2 times.")
    assert b.awaiting() == Doing()
    b.say("go_back", "go_back", "confirm")
    assert b.awaiting() == Measuring(0)


def test_without_any_value_there_is_nothing_to_correct() -> None:
    b = started(GAP)
    assert "no reading to correct" in b.say("correction")
