"""An engine whose scores are moved so that the usual thresholds are right for one builder.

The thresholds themselves stay where they are, in the dialogue's policy: a session is replayed
from its journal, and must not need a builder's profile for that. What is moved is the score, at
the edge, before it is written down. The curve goes through straight pieces, so that the order of
scores never changes.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from assistant.fitting.thresholds import Thresholds
from assistant.fitting.wrapper import RecogniserWrapper
from assistant.language.hypothesis import Hypothesis, Recognition
from assistant.language.policy import Policy
from assistant.speech.types import Engine, Utterance


class Curve:
    """A score as the engine gave it -> the score by the usual thresholds, both 0 to 1.

    ``easier``: whether the builder's own lower ``reject`` counts. Without it, nothing reaches a
    usual threshold that did not reach it before.
    """

    def __init__(self, own: Thresholds, usual: Policy, easier: bool) -> None:
        reject = own.reject if easier else max(own.reject, usual.reject)
        advance = max(usual.advance, reject)
        sure = max(usual.sure, own.sure, advance)
        self._from = [0.0, reject, advance, sure, 1.0]
        self._to = [0.0, usual.reject, usual.advance, usual.sure, 1.0]
        for place in (3, 2, 1):  # where two thresholds meet, the higher one counts
            if self._from[place] >= self._from[place + 1]:
                self._from[place] = np.nextafter(self._from[place + 1], 0.0)

    def __call__(self, score: float) -> float:
        """The score to be used."""
        return float(np.interp(score, self._from, self._to))


class FittedEngine(RecogniserWrapper):
    """``engine`` for a builder with ``own`` thresholds; ``commands``: all phrases of commands."""

    def __init__(
        self,
        engine: Engine,
        own: Thresholds,
        commands: Iterable[str],
        usual: Policy | None = None,
    ) -> None:
        super().__init__(engine)
        self._commands = frozenset(commands)
        policy = usual or Policy()
        self._command = Curve(own, policy, easier=True)
        self._other = Curve(own, policy, easier=False)

    def recognise(self, utterance: Utterance) -> Recognition:
        """What the engine heard, with its scores moved."""
        heard = self.within.recognise(utterance)
        if not heard.hypotheses:
            return heard
        best, *others = heard.hypotheses
        # The dialogue doubts a value when another one's score comes near it: others never sink.
        raised = (replace(h, confidence=max(h.confidence, self._score(h))) for h in others)
        return replace(heard, hypotheses=(replace(best, confidence=self._score(best)), *raised))

    def _score(self, hypothesis: Hypothesis) -> float:
        curve = self._command if hypothesis.text in self._commands else self._other
        return curve(hypothesis.confidence)
