"""The bench judges by the dialogue's own rules."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.dialogue.context import Policy
from assistant.evaluation.policy import accepted_unasked, decide, same_meaning
from assistant.evaluation.states import STATES
from assistant.language import Language
from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.language.spec import Command

LANGUAGE = Language.load("en-US")
TRUST = Policy(reject=0.5, sure=0.8, ask_confusable=False)


def heard(text: str, confidence: float = 0.95, second: str | None = None) -> Recognition:
    words = tuple(Word(w) for w in text.split())
    return Recognition((Hypothesis(words, confidence),) if text else (), "test", second)


@pytest.mark.parametrize(
    ("recognition", "kind", "why"),
    [
        (heard(""), "nothing", ""),
        (heard("colourless green ideas"), "again", ""),
        (heard("reading one point five thou", 0.4), "again", ""),
        (heard("reading one point five thou", 0.6), "asked", "unsure"),
        (heard("reading one point five thou"), "accepted", ""),
        (heard("reading one point five thou", second="reading 1.5 thou"), "accepted", ""),
        (heard("reading one point five thou", second="reading 9.5 thou"), "asked", "disagree"),
        (heard("reading one point five thou", second=""), "asked", "disagree"),
        (heard("correction", second="go back"), "again", "disagree"),
        (heard("correction", second="tea break"), "accepted", ""),
    ],
)
def test_what_the_dialogue_would_do(recognition: Recognition, kind: str, why: str) -> None:
    outcome = decide(LANGUAGE, STATES["runout"], recognition, TRUST)
    assert (outcome.kind, outcome.why) == (kind, why)


def test_a_value_with_a_twin_is_asked_for_unless_a_second_listener_settles_it() -> None:
    strict = replace(TRUST, ask_confusable=True)
    alone = heard("reading ninety newton meters")
    agreed = heard("reading ninety newton meters", second="reading 90 newton meters")
    spec = STATES["torque"]
    assert decide(LANGUAGE, spec, alone, strict).why == "confusable"
    assert decide(LANGUAGE, spec, agreed, strict).why == "confusable"
    assert accepted_unasked(LANGUAGE, spec, agreed, replace(strict, second_settles=True))
    assert accepted_unasked(LANGUAGE, spec, alone, replace(strict, second_settles=True)) is None


def test_readings_mean_the_same_by_value_and_commands_by_name() -> None:
    spec = STATES["runout"]
    (one,) = LANGUAGE.interpret(spec, "reading one point five thou")
    (same,) = LANGUAGE.interpret(spec, "reading point zero zero one five inches")
    (other,) = LANGUAGE.interpret(spec, "reading one point four thou")
    assert same_meaning(one, same)
    assert not same_meaning(one, other)
    assert same_meaning(Command("done"), Command("done"))
    assert not same_meaning(Command("done"), None)
