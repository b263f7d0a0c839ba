"""Confidence by the likelihood of what was heard."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.language.policy import Policy
from assistant.speech.ear.evidence import confidence

nats = st.floats(-200.0, 0.0)


@given(st.integers(1, 60), nats, nats)
def test_what_explains_the_sound_better_is_surer(phones: int, one: float, other: float) -> None:
    worse, better = sorted((one, other))
    assert 0.0 <= confidence(phones, [worse]) <= confidence(phones, [better]) <= 1.0


@given(st.integers(1, 59), nats)
def test_a_longer_phrase_is_less_of_a_chance(phones: int, whole: float) -> None:
    assert confidence(phones, [whole]) <= confidence(phones + 1, [whole])


def test_likelihoods_of_all_phrases_add_up() -> None:
    apart = confidence(12, [-3.0, -3.0 + math.log(3.0)])
    assert apart == pytest.approx(confidence(12, [-3.0 + math.log(4.0)]))


def test_a_value_is_taken_unasked_only_where_it_explains_the_sound() -> None:
    assert confidence(20, [-3.9]) >= Policy.sure > confidence(20, [-4.1])
    assert confidence(20, [-10.0]) >= Policy.reject


def test_talk_and_what_cannot_be_are_nothing() -> None:
    assert confidence(12, [-100.0]) < 1e-9
    assert confidence(12, [-math.inf]) == 0.0
