"""Whether what was heard was said to the assistant: how much better any phones explain the sound.

A decoder always answers with something of its grammar. The same posteriors, free to be any string
of phones, explain speech of the grammar hardly better than the grammar does, and other people's
talk far better. The difference of the two best paths in nats is the *deficit*.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from assistant.speech.ear.paths import Path, Placed
from assistant.speech.ear.viterbi import Trellis

CERTAIN = 8.0
"""Log odds that speech was meant for the assistant where the grammar explains all of it."""
PER_NAT = 1 / 6
PER_NAT_A_PHONE = 1.0
"""What they lose for each nat of the deficit, and for each nat that it comes to a phone."""


@dataclass(frozen=True)
class Evidence:
    """``deficit``: of the whole utterance. ``words``: of each word. All in nats, 0 at the least.

    ``phones``: how many the words have; a short word is easily found in anything.
    """

    deficit: float
    words: tuple[float, ...]
    phones: int

    @staticmethod
    def of(trellis: Trellis, path: Path) -> Evidence:
        """Of the best path."""
        words = tuple(_deficit(trellis, placed) for placed in path.words)
        phones = sum(placed.phones for placed in path.words)
        return Evidence(max(0.0, trellis.free - path.nats), words, phones)


def _deficit(trellis: Trellis, placed: Placed) -> float:
    """Of one word: the free phones' score over its frames, less the word's own."""
    rows = trellis.posteriors[placed.first : placed.last + 1]
    return max(0.0, float(rows.max(axis=1).sum()) - placed.nats)


def confidence(evidence: Evidence) -> float:
    """That it was said to the assistant, 0 to 1."""
    each = evidence.deficit / evidence.phones
    return logistic(CERTAIN - PER_NAT * evidence.deficit - PER_NAT_A_PHONE * each)


def logistic(odds: float) -> float:
    """Log odds as a probability."""
    return 1.0 / (1.0 + math.exp(-max(-50.0, min(50.0, odds))))
