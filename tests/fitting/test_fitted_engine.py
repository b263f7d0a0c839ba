"""Moved scores: the usual thresholds mean the builder's own, and values never get easier."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from assistant.evaluation.states import STATES
from assistant.fitting.fitted_engine import Curve, FittedEngine
from assistant.fitting.thresholds import HIGHEST_SURE, LOWEST_REJECT, Thresholds
from assistant.language import Language
from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.language.policy import Policy
from assistant.speech.patience import Patience
from assistant.speech.speculative import SpeculativeFollower, speculative
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


class Following(Saying):
    """One that works while the speaker speaks, and has heard "seven" so far."""

    def __init__(self) -> None:
        super().__init__()
        self.calls: list[str] = []

    def begin(self) -> None:
        self.calls.append("begin")

    def anticipate(self, utterance: Utterance) -> None:
        self.calls.append("anticipate")

    def so_far(self) -> str:
        return "reading seven"

    def quiet_s(self) -> float | None:
        return 0.0

    def quiet_in(self, utterance: Utterance) -> float | None:
        return 0.0


OWN_USUAL = Thresholds(USUAL.reject, USUAL.sure)


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


def test_a_profile_does_not_shorten_the_quiet_that_ends_a_value() -> None:
    """An engine that cannot tell how far a value has come waits as long with a profile."""
    plain = Saying()
    fitted = FittedEngine(FittedEngine(plain, OWN_USUAL, []), OWN_USUAL, [])
    assert speculative(fitted) is None
    jsgf = Language.load("en-US").jsgf(STATES["journal"])
    for engine in (plain, fitted):
        following = SpeculativeFollower(engine)
        following.grammar(jsgf)
        assert following.quiet_needed() == Patience().open_end


def test_a_profile_passes_on_what_is_worked_out_in_a_pause() -> None:
    inner = Following()
    fitted = FittedEngine(inner, OWN_USUAL, [])
    assert speculative(fitted) is fitted
    following = SpeculativeFollower(fitted)
    following.grammar(Language.load("en-US").jsgf(STATES["journal"]))
    following.begin()
    following.paused(Utterance(np.zeros(160, np.int16), 0.0, 0.01))
    assert inner.calls == ["begin", "anticipate"]
    assert following.quiet_needed() == Patience().open_end  # "seven": more may follow
