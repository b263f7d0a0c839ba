"""The bench judges by the dialogue's own rules."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.evaluation.policy import decide, same_meaning
from assistant.evaluation.states import STATES
from assistant.language import Language
from assistant.language.hypothesis import Hypothesis, Recognition, WeighedText, Word
from assistant.language.policy import Policy
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
        (heard("colourless green ideas"), "again", "unknown"),
        (heard("reading one point five thou", 0.4), "again", "unsure"),
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


SPEC = STATES["torque"]
NINETY = "reading ninety newton meters"
ALIKE = {phrase: -9.0 for phrase, _ in LANGUAGE.confusable(SPEC, NINETY)}
STRICT = replace(TRUST, ask_confusable=True, second_settles=True, lead=4.0, twin_lead=7.0)


def compared(nats: dict[str, float], confidence: float = 0.95) -> Recognition:
    """Ninety heard by the first; the second wrote it too and compared these texts."""
    weighed = tuple(WeighedText(text, n) for text, n in nats.items())
    return replace(heard(NINETY, confidence, second="reading 90 newton meters"), weighed=weighed)


def why(recognition: Recognition, policy: Policy = STRICT) -> str:
    return decide(LANGUAGE, SPEC, recognition, policy).why


def test_a_value_with_a_twin_is_settled_only_when_every_twin_was_compared_and_lost() -> None:
    assert "reading nineteen newton meters" in ALIKE
    assert why(heard(NINETY)) == "confusable"
    assert why(heard(NINETY, second="reading 90 newton meters")) == "confusable"
    assert why(compared({NINETY: -1.0, **ALIKE})) == ""
    assert why(compared({NINETY: -1.0, **ALIKE}), replace(STRICT, second_settles=False))
    for missing in ALIKE:
        some = {text: n for text, n in ALIKE.items() if text != missing}
        assert why(compared({NINETY: -1.0, **some})) == "confusable"
    for closer in ALIKE:
        assert why(compared({NINETY: -1.0, **ALIKE, closer: -4.9})) == "disagree"


def test_a_twin_must_have_lost_by_more_than_other_sound_alikes() -> None:
    """Teen and ten: common practice, no source."""
    both = {"reading nineteen newton meters": -9.0, "reading thirty newton meters": -9.0}
    assert why(compared({NINETY: -1.0, **ALIKE, "reading nineteen newton meters": -7.9})) != ""
    assert why(compared({NINETY: -1.0, **ALIKE, "reading thirty newton meters": -5.1})) == ""
    assert why(compared({NINETY: -1.0, **ALIKE, **both})) == ""


def test_what_the_second_compared_counts_by_what_it_means() -> None:
    same = {"reading ninety newton meter": -1.2, "reading nine zero newton meters": -1.1}
    assert why(compared({NINETY: -1.0, **ALIKE, **same})) == ""
    assert why(compared({NINETY: -1.0, **ALIKE, "reading ninety pound feet": -1.2})) == "disagree"
    assert why(compared({NINETY: -1.0, **ALIKE, "reading 90 bananas": -1.2})) == "disagree"
    assert why(compared({**ALIKE, "go back": -1.0})) == "disagree"
    assert why(compared({NINETY: -1.0, **ALIKE}, confidence=0.7)) == "unsure"
    nowhere = replace(compared({NINETY: -11.0, **ALIKE}), second="")
    assert why(nowhere) == "disagree"


def test_a_command_that_moves_the_work_on_must_be_heard_more_surely() -> None:
    for text, kind in (("go on", "again"), ("go back", "again"), ("what torque", "accepted")):
        spec = STATES["doing"]
        assert decide(LANGUAGE, spec, heard(text, 0.6), TRUST).kind == kind
        assert decide(LANGUAGE, spec, heard(text, 0.75), TRUST).kind == "accepted"


def test_readings_mean_the_same_by_value_and_commands_by_name() -> None:
    spec = STATES["runout"]
    (one,) = LANGUAGE.interpret(spec, "reading one point five thou")
    (same,) = LANGUAGE.interpret(spec, "reading point zero zero one five inches")
    (other,) = LANGUAGE.interpret(spec, "reading one point four thou")
    assert same_meaning(one, same)
    assert not same_meaning(one, other)
    assert same_meaning(Command("done"), Command("done"))
    assert not same_meaning(Command("done"), None)
