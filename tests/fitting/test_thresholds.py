"""The choice of thresholds: safe bounds whatever a check heard."""

from __future__ import annotations

from random import Random

from hypothesis import given
from hypothesis import strategies as st

from assistant.fitting.thresholds import HIGHEST_SURE, LOWEST_REJECT, Score, choose, stoppable
from assistant.language.policy import Policy

USUAL = Policy()
SHARES = st.floats(0.0, 1.0, allow_nan=False)
SCORES = st.lists(st.builds(Score, st.booleans(), st.booleans(), SHARES), max_size=40)


@given(SCORES)
def test_values_are_never_easier_and_commands_only_within_bounds(scores: list[Score]) -> None:
    chosen = choose(scores)
    assert USUAL.sure <= chosen.sure <= HIGHEST_SURE
    assert LOWEST_REJECT <= chosen.reject <= USUAL.advance


@given(SCORES, st.randoms())
def test_the_order_of_the_phrases_does_not_matter(scores: list[Score], rng: Random) -> None:
    mixed = list(scores)
    rng.shuffle(mixed)
    assert choose(mixed) == choose(scores)


@given(SCORES)
def test_misheard_numbers_that_a_score_can_stop_are_stopped(scores: list[Score]) -> None:
    sure = choose(scores).sure
    assert all(c < sure for c in stoppable(scores))


@given(SCORES)
def test_a_stricter_score_loses_at_most_a_tenth_of_what_was_right(scores: list[Score]) -> None:
    reject = choose(scores).reject
    right = [s.confidence for s in scores if s.right]
    if reject > USUAL.reject:
        assert sum(c < reject for c in right) <= 0.1 * len(right)


@given(SCORES)
def test_an_easier_score_lets_nothing_in_that_was_misheard(scores: list[Score]) -> None:
    reject = choose(scores).reject
    if reject < USUAL.reject:
        wrong = [s.confidence for s in scores if not s.right]
        assert not [c for c in wrong if reject <= c < USUAL.reject]
        assert any(not s.number and s.right and s.confidence < USUAL.reject for s in scores)


@given(st.lists(st.builds(Score, st.booleans(), st.just(True), st.floats(0.8, 1.0)), max_size=40))
def test_a_builder_who_is_heard_well_keeps_the_usual_thresholds(scores: list[Score]) -> None:
    chosen = choose(scores)
    assert (chosen.reject, chosen.sure) == (USUAL.reject, USUAL.sure)


def test_faint_commands_count_from_a_lower_score_and_numbers_do_not() -> None:
    faint = [Score(False, True, c) for c in (0.47, 0.6, 0.9)]
    assert choose(faint).reject == 0.42
    assert choose([Score(True, True, c) for c in (0.47, 0.6, 0.9)]).reject == USUAL.reject
