"""Moved scores: the usual thresholds mean the builder's own, and values never get easier."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from assistant.fitting.fitted_engine import Curve, FittedEngine
from assistant.fitting.thresholds import HIGHEST_SURE, LOWEST_REJECT, Thresholds
from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.language.policy import Policy
from assistant.speech.types import Utterance

USUAL = Policy()
SHARES = st.floats(0.0, 1.0, allow_nan=False)
OWN = st.builds(
    Thresholds, st.floats(LOWEST_REJECT, USUAL.advance), st.floats(USUAL.sure, HIGHEST_SURE)
)


class Saying:
    """An engine that answers with given hypotheses, whatever it hears."""

    name = "saying"

    def __init__(self, *answers: tuple[str, float]) -> None:
        self._answers = answers

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Any grammar will do."""

    def recognise(self, utterance: Utterance) -> Recognition:
        """The given answers."""
        hypotheses = (Hypothesis(tuple(map(Word, t.split())), c) for t, c in self._answers)
        return Recognition(tuple(hypotheses), self.name)


def heard(own: Thresholds, *answers: tuple[str, float]) -> tuple[Hypothesis, ...]:
    engine = FittedEngine(Saying(*answers), own, ["go on"])
    return engine.recognise(Utterance(np.zeros(160, np.int16), 0.0, 0.01)).hypotheses


@given(OWN, SHARES, SHARES, st.booleans())
def test_the_order_of_scores_stays(own: Thresholds, a: float, b: float, easier: bool) -> None:
    curve = Curve(own, USUAL, easier)
    assert 0.0 <= curve(min(a, b)) <= curve(max(a, b)) <= 1.0


@given(OWN, SHARES)
def test_no_value_reaches_a_threshold_that_it_did_not_reach(own: Thresholds, score: float) -> None:
    (moved,) = heard(own, ("reading one point five thou", score))
    for usual in (USUAL.reject, USUAL.advance, USUAL.sure):
        assert moved.confidence < usual or score >= usual - 1e-9


@given(OWN, SHARES)
def test_a_command_counts_from_the_builders_own_score(own: Thresholds, score: float) -> None:
    (moved,) = heard(own, ("go on", score))
    if abs(score - own.reject) > 1e-9:
        assert (moved.confidence >= USUAL.reject) == (score >= own.reject)
    assert moved.confidence < USUAL.advance or score >= USUAL.advance - 1e-9


@given(OWN, SHARES, SHARES)
def test_what_makes_a_value_doubtful_is_never_played_down(
    own: Thresholds, best: float, other: float
) -> None:
    moved = heard(own, ("reading ninety thou", best), ("reading nineteen thou", other))
    assert moved[1].confidence >= other
    assert [h.text for h in moved] == ["reading ninety thou", "reading nineteen thou"]


def test_nothing_heard_stays_nothing() -> None:
    assert heard(Thresholds(0.5, 0.8)) == ()
