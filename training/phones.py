"""The phones that the model tells apart, and words as phones.

The phones are those of the CMU Pronouncing Dictionary without stress, and the unstressed -y; index
0 is the blank of connectionist temporal classification (Graves et al., 2006). The program's own
module says which is which, so that it cannot differ from the training.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.speech.ear.posteriors import PHONES, labels_of

BLANK = 0
CLASSES = len(PHONES) + 1

Pronunciations = Mapping[str, Sequence[Sequence[str]]]


def targets(text: str, known: Pronunciations) -> list[int] | None:
    """``text`` as indices of phones, by first pronunciations; None: a word is unknown."""
    found: list[int] = []
    for word in text.lower().split():
        ways = known.get(word)
        if not ways:
            return None
        found += labels_of(word, ways[0])
    return found
