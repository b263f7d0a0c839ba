"""Sound-alikes come from the pronouncing dictionary, not from a list."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words

from assistant.language.confusables import NEAR, neighbours, phrase_unlikeness
from assistant.language.phones import distance, unlikeness
from assistant.language.spec import ListenSpec, NumberSpec, Reading
from tests.language.sounding_alike import confusable_pairs
from tests.language.specs import EN

SOUNDS = EN.pronunciations
NUMBERS = ListenSpec(reading=NumberSpec(("thou",), 1, None, Fraction(99)))


# Pairs that numbers are misheard as: common practice, no source; five and nine are respelled
# "fife" and "niner" for this reason in ICAO Annex 10 Volume II (from memory).
@pytest.mark.parametrize(
    ("one", "other"),
    [("fifteen", "fifty"), ("nineteen", "ninety"), ("fourteen", "forty"), ("sixteen", "sixty"),
     ("thirteen", "thirty"), ("five", "nine"), ("stop", "start")],
)  # fmt: skip
def test_known_mix_ups_come_out(one: str, other: str) -> None:
    assert phrase_unlikeness(one, other, SOUNDS) <= NEAR
    assert other in neighbours(one, [one, other, "zero", "two"], SOUNDS)


@pytest.mark.parametrize(
    ("one", "other"), [("two", "six"), ("three", "eight"), ("four", "five"), ("zero", "one")]
)
def test_unlike_numbers_stay_apart(one: str, other: str) -> None:
    assert phrase_unlikeness(one, other, SOUNDS) > NEAR


@pytest.mark.parametrize(
    ("said", "twin"),
    [("fifteen", 50), ("fifty", 15), ("nineteen", 90), ("ninety", 19), ("forty", 14), ("five", 9)],
)
def test_confusable_values_of_the_active_grammar(said: str, twin: int) -> None:
    values = {
        m.indication.amount.value
        for m in EN.confusable_meanings(NUMBERS, f"reading {said} thou")
        if isinstance(m, Reading)
    }
    assert twin in values


def test_only_phrases_of_the_active_grammar_come_out() -> None:
    for phrase, meaning in EN.confusable(NUMBERS, "reading fifteen thou"):
        assert EN.interpret(NUMBERS, phrase) == (meaning,)
    assert EN.confusable_meanings(NUMBERS, "reading two thou") == ()


def test_a_lost_oh_is_another_value() -> None:
    spec = ListenSpec(reading=NumberSpec(("in",), 4, None, Fraction(1)))
    phrases = [p for p, _ in EN.confusable(spec, "reading point oh oh five inch")]
    assert "reading point oh five inch" in phrases


def test_distance_is_a_metric_on_samples() -> None:
    words = ("five", "nine", "fifty", "thou", "stop")
    phones = [SOUNDS[w][0] for w in words]
    for a in phones:
        assert distance(a, a) == 0
        for b in phones:
            assert distance(a, b) == pytest.approx(distance(b, a))
            assert 0 <= unlikeness(a, b) <= 1


@pytest.mark.uncounted
def test_no_two_commands_sound_alike() -> None:
    phrases = {command: EN.phrases_for(command) for command in EN.command_ids}
    assert confusable_pairs(phrases, SOUNDS) == []


@pytest.mark.parametrize(
    ("good", "bad"),
    [("stop work", "start work"), ("that is right", "that is tight"),
     ("speak slower", "speak lower")],
)  # fmt: skip
def test_the_lint_of_commands_finds_bad_pairs(good: str, bad: str) -> None:
    assert confusable_pairs({"one": [good], "two": [bad]}, SOUNDS)


def test_thou_is_said_as_in_thousand() -> None:
    assert SOUNDS["thou"][0] == ("TH", "AW")


def test_only_teens_and_their_tens_are_twins_among_number_words() -> None:
    """The words are those of the independent library num2words."""
    words = [num2words(n) for n in (*range(1, 20), *range(20, 100, 10))]
    found = {(a, b) for a in words for b in words if a < b and EN.twins(a, b)}
    teens = {"thirteen": "thirty", "fifteen": "fifty", "fourteen": "forty"} | {
        f"{unit}teen": f"{unit}ty" for unit in ("six", "seven", "eigh", "nine")
    }
    assert found == {tuple(sorted(pair)) for pair in teens.items()}


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("reading sixteen newton meters", "reading sixty newton meters", True),
        ("seven nine", "seven nine", True),
        ("sixteen thou", "sixty thou", False),
        ("sixteen newton meters", "fifty newton meters", False),
        ("one nine nine", "one nine", False),
    ],
)
def test_a_doubled_sound_may_be_said_as_one(one: str, other: str, same: bool) -> None:
    """Gemination across words, which fluent English mostly drops (common knowledge, no source)."""
    assert EN.same_but_doubled(one, other) is same
    assert EN.same_but_doubled(one, other, vowels=False) is same


def test_a_doubled_vowel_may_be_left_apart() -> None:
    assert EN.same_but_doubled("nine zero", "nine zero oh")
    assert not EN.same_but_doubled("nine zero", "nine zero oh", vowels=False)


PHRASES = [p for id in EN.command_ids for p in EN.phrases_for(id)]
PHRASES += ["bolt one", "bolt nine", "hub side", "tub side", "one", "nine", "", "front bearing"]


@given(st.sampled_from(PHRASES), st.sampled_from(PHRASES), st.sampled_from([0.1, 0.25, NEAR]))
def test_what_is_settled_by_lengths_is_what_the_unlikeness_says(
    one: str, other: str, bound: float
) -> None:
    assert EN.near(one, other, bound) == (phrase_unlikeness(one, other, SOUNDS) <= bound)


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [
        ("seventy thou", "seventy thou", 0),
        ("seventy thou", "thirty thou", 5),
        ("reading two thou", "reading three thou", 3),
        ("point two five", "point two two five", 2),
        ("nine", "nine point one", 7),
    ],
)
def test_how_many_sounds_two_phrases_are_apart(one: str, other: str, apart: int) -> None:
    """By the pronouncing dictionary (S EH V AH N T IY, TH ER T IY; T UW, TH R IY)."""
    assert EN.sounds_apart(one, other) == EN.sounds_apart(other, one) == apart
