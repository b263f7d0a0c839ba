"""Which scores to trust of this builder: a pure choice from the check's own scores.

A check holds two dozen phrases. That is enough to see that a builder's commands score low, or
that a wrong one scored high. It is far too little to show that values are safe at a lower score
(none wrong of eleven leaves, by Wilson, up to a quarter). So for values the thresholds may only
become stricter than those shipped. For commands they may become easier, within bounds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.language.policy import Policy

LOWEST_REJECT = 0.4
"""No command counts below this, whoever says it: other talk in the shop scores there, too."""

HIGHEST_SURE = 0.95
"""Scores of what was said right seldom pass this; a higher threshold would ask about everything."""

MARGIN = 0.05
"""How far a threshold is kept from the score that it is chosen by."""

_COSTS_AT_MOST = 0.1  # share of a builder's right phrases that a stricter score may lose


@dataclass(frozen=True)
class Score:
    """A phrase of the check: whether it was heard right, and the score from 0 to 1.

    ``number``: anything with a value in it; else a command. What was not heard at all has no
    score and is left out.
    """

    number: bool
    right: bool
    confidence: float


@dataclass(frozen=True)
class Thresholds:
    """Scores from which something counts, in the meaning of the dialogue's policy.

    ``reject`` holds for commands; for anything with a number it is never below the shipped one.
    ``sure``: from here a value is taken without its digits.
    """

    reject: float
    sure: float


def choose(scores: Sequence[Score], shipped: Policy | None = None) -> Thresholds:
    """Thresholds for the builder whose scores these are; the shipped ones without any score."""
    usual = shipped or Policy()
    return Thresholds(_reject(scores, usual), _sure(scores, usual))


def _reject(scores: Sequence[Score], usual: Policy) -> float:
    right = [s.confidence for s in scores if s.right]
    wrong = [s.confidence for s in scores if not s.right]
    stopped = [c for c in wrong if usual.reject <= c <= usual.advance - MARGIN]
    if stopped:
        # Stricter, where that stops what was misheard without losing what was heard.
        stricter = _round(max(stopped) + MARGIN)
        lost = sum(c < stricter for c in right)
        return stricter if lost <= _COSTS_AT_MOST * len(right) else usual.reject
    commands = [s.confidence for s in scores if s.right and not s.number]
    weakest = min(commands, default=1.0)
    # What was misheard with more than the usual score counts either way.
    below = max((c for c in wrong if c < usual.reject), default=0.0)
    easier = max(LOWEST_REJECT, weakest - MARGIN, below + MARGIN)
    return min(_round(easier), usual.reject) if weakest < usual.reject else usual.reject


def _sure(scores: Sequence[Score], usual: Policy) -> float:
    stopped = stoppable(scores)
    return max(usual.sure, _round(max(stopped) + MARGIN)) if stopped else usual.sure


def stoppable(scores: Sequence[Score]) -> tuple[float, ...]:
    """Scores of misheard numbers that a stricter ``sure`` can stop.

    What was misheard with a score above that no score can tell from what was heard right; there
    the dialogue's question about values that sound alike is what protects.
    """
    wrong = (s.confidence for s in scores if s.number and not s.right)
    return tuple(c for c in wrong if c <= HIGHEST_SURE - MARGIN)


def _round(score: float) -> float:
    return round(score, 3)
