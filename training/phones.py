"""The phones that the model tells apart, and words as phones.

The phones are those of the CMU Pronouncing Dictionary without stress; index 0 is the blank of
connectionist temporal classification (Graves et al., 2006).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

PHONES: tuple[str, ...] = tuple(
    (
        "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW"
        " V W Y Z ZH"
    ).split()
)
BLANK = 0
INDEX: Mapping[str, int] = {phone: n for n, phone in enumerate(PHONES, 1)}
CLASSES = len(PHONES) + 1

Pronunciations = Mapping[str, Sequence[Sequence[str]]]


def targets(text: str, known: Pronunciations) -> list[int] | None:
    """``text`` as indices of phones, by first pronunciations; None: a word is unknown."""
    found: list[int] = []
    for word in text.lower().split():
        ways = known.get(word)
        if not ways:
            return None
        found += [INDEX[phone] for phone in ways[0]]
    return found
