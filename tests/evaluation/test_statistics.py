"""Rates and intervals against their definitions."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.evaluation.statistics import Rate, quantile, word_errors


@given(st.integers(1, 3000).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
@settings(max_examples=100, deadline=None)
def test_the_interval_is_wilsons(pair: tuple[int, int]) -> None:
    """Wilson, J. Am. Stat. Assoc. 22 (1927): its ends solve (p' - p)^2 = z^2 p (1 - p) / n."""
    hits, tries = pair
    z = 1.959963984540054  # the 97.5 % point of the normal distribution
    for end in Rate(hits, tries).interval:
        left = (hits / tries - end) ** 2
        assert left == pytest.approx(z * z * end * (1 - end) / tries, rel=1e-6, abs=1e-12)


def test_none_wrong_of_two_thousand_still_leaves_one_in_five_hundred() -> None:
    assert Rate(0, 2000).interval[1] == pytest.approx(0.0019, abs=0.0001)


def test_rates_without_tries_say_so() -> None:
    assert str(Rate(0, 0)) == "-"
    assert math.isnan(Rate(0, 0).value)
    assert str(Rate(1, 2)) == "50.0 (9.5-90.5)"


def test_word_errors_count_substitutions_insertions_and_deletions() -> None:
    """(S + D + I) / N by hand: one of each over ten words."""
    said = ["reading one point five thou", "go on", "step done now"]
    heard = ["reading nine point five thou", "go on now", "step done"]
    assert word_errors(said, heard) == pytest.approx(0.3)
    assert math.isnan(word_errors([], []))


def test_quantiles() -> None:
    assert quantile([1.0, 2.0, 3.0], 0.5) == 2.0
    assert math.isnan(quantile([], 0.5))
