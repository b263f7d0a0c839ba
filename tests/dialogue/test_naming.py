"""Positions and labels that sound like others are asked about before they count."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from assistant.dialogue.events import Heard
from assistant.dialogue.kinds.choice import Choosing
from assistant.dialogue.kinds.measurement.facts import ReadingSuperseded
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.kinds.tightening.states import Tightening
from assistant.dialogue.states import PhraseReadback
from assistant.language.hypothesis import Hypothesis, Recognition, Word
from tests.dialogue.kit import Bench, procedure, replay

SIDES = {
    "id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "dial",
    "lower": "1 thou", "upper": "4 thou", "positions": ["near side", "rear side", "bottom"],
}  # fmt: skip
BOLTS = {
    "id": "bolts", "kind": "tightening", "tool": "wrench", "target": "8 lbf*ft", "thread": "dry",
    "fasteners": ["north", "fourth", "left bolt"],
}  # fmt: skip
SEAL = {
    "id": "seal", "kind": "choice",
    "options": [{"id": "a", "say": "hub side"}, {"id": "b", "say": "tub side"}],
}  # fmt: skip


def bench(step: Mapping[str, object]) -> Bench:
    b = Bench(procedure(step, {"id": "last", "kind": "action"}))
    b.start()
    return b


def measured() -> Bench:
    b = bench(SIDES)
    b.type("reading 2 thou", "reading 3 thou")
    assert b.awaiting() == Measuring(2)
    return b


def test_a_position_that_sounds_like_another_is_asked_about_before_its_value_goes() -> None:
    b = measured()
    assert b.hear("near side") == "I heard near side. Say that is right, or that is wrong."
    assert b.awaiting() == PhraseReadback("near side", "near side", Measuring(2))
    assert b.of(ReadingSuperseded) == []
    b.say("confirm")
    assert [f.position for f in b.of(ReadingSuperseded)] == ["near side"]
    assert b.awaiting() == Measuring(0)


def test_one_that_was_misheard_leaves_everything_as_it_was() -> None:
    b = measured()
    values = b.state.values
    b.hear("rear side")
    assert "bottom" in b.say("wrong")
    assert b.awaiting() == Measuring(2)
    assert b.state.values == values
    assert b.of(ReadingSuperseded) == []


def test_one_that_sounds_like_none_other_is_taken_at_once() -> None:
    b = measured()
    b.hear("bottom")
    assert b.awaiting() == Measuring(2)


def test_a_typed_position_is_not_asked_about() -> None:
    b = measured()
    b.type("near side")
    assert b.awaiting() == Measuring(0)


def test_a_policy_that_asks_nothing_of_the_kind_takes_it() -> None:
    b = measured()
    b.context = replace(b.context, policy=replace(b.policy, ask_confusable=False))
    b.hear("near side")
    assert b.awaiting() == Measuring(0)


def test_a_label_that_sounds_like_another_is_asked_about() -> None:
    b = bench(BOLTS)
    b.say("understood")
    assert isinstance(b.awaiting(), Tightening)
    assert "I heard north" in b.hear("north")
    assert isinstance(b.awaiting(), PhraseReadback)
    assert "north" in b.say("confirm")
    assert isinstance(b.awaiting(), Tightening)


def test_an_answer_is_read_back_once_not_twice() -> None:
    b = bench(SEAL)
    assert "hub side. Say that is right" in b.hear("hub side")
    assert b.awaiting() == Choosing("a")


@pytest.mark.parametrize("word", ["repeat", "help", "stop_work"])
def test_the_question_is_still_asked_after_something_else_was_answered(word: str) -> None:
    b = measured()
    b.hear("near side")
    b.say(word)
    if word == "stop_work":
        b.say("wrong")
    assert b.awaiting() == PhraseReadback("near side", "near side", Measuring(2))


def test_a_session_stored_before_such_questions_replays_as_it_was() -> None:
    b = measured()
    opened = b.events[0].model_dump(mode="json")
    del opened["phrases_asked"]
    b.hear("near side")
    old = [type(b.events[0]).model_validate(opened), *b.events[1:]]
    assert replay(b.context, old).awaiting == Measuring(0)


def test_one_that_another_comes_too_near_is_asked_about_and_was_not_in_older_sessions() -> None:
    b = measured()
    near = Recognition(
        (
            Hypothesis((Word("near"), Word("side")), 0.95, behind=0.0),
            Hypothesis((Word("bottom"),), 0.9, behind=2.0),
        ),
        "test",
        beyond=30.0,
    )
    older = replace(b.state, phrases_asked=False)
    b.feed(Heard(at=b.at(), recognition=near))
    assert isinstance(b.awaiting(), PhraseReadback)
    b.state = older
    b.feed(Heard(at=b.at(), recognition=near))
    assert b.awaiting() == Measuring(2)
