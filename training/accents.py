"""English with the sounds of other languages, for the neural synthesiser.

A style gives a voice, and espeak-ng gives it the phones of an American or a Briton. People who
learnt English later put their own language's sounds in place of those that it lacks: a French
speaker says Z for the TH of "the" and an R from the throat, a German V for W and T for a final D.
Each accent is a list of such changes in the synthesiser's alphabet; a speaker makes some of
them always and some hardly ever, so each is drawn for a line with the chance beside it. They
follow the usual descriptions of these accents (Swan and Smith, *Learner English*, 2nd ed., 2001),
from memory.
"""

from __future__ import annotations

import random
import re
from collections.abc import Mapping, Sequence

Change = tuple[str, str, float]
"""A pattern, what is said in its place, and how often a speaker of the accent does so."""

_END = r"(?=[ .,]|$)"
_LAX: Sequence[Change] = (("ɪ", "i", 0.6), ("ʊ", "u", 0.6))
_PLAIN: Sequence[Change] = (("A", "e", 0.6), ("[OQ]", "o", 0.6))
_FRONT: Sequence[Change] = (("æ", "a", 0.6), ("ʌ", "a", 0.5), ("ɐ", "a", 0.5))
_HARD: Sequence[Change] = (
    (f"d{_END}", "t", 0.5), (f"z{_END}", "s", 0.6), (f"v{_END}", "f", 0.6), (f"ɡ{_END}", "k", 0.5),
)  # fmt: skip

ACCENTS: Mapping[str, Sequence[Change]] = {
    "french": (
        *_LAX, *_PLAIN, *_FRONT, ("θ", "s", 0.4), ("θ", "t", 0.3), ("θ", "f", 0.2), ("ð", "z", 0.7),
        ("ɹ", "ʁ", 0.8), ("h", "", 0.6), ("ɜ", "œ", 0.7), ("ə", "œ", 0.2), ("ˈ", "", 0.3),
        ("ɔ", "o", 0.3), ("ɑ", "a", 0.4), ("ɾ", "t", 0.9),
    ),
    "german": (
        *_HARD, ("w", "v", 0.6), ("θ", "s", 0.5), ("ð", "z", 0.5), ("ɹ", "ʁ", 0.6), ("æ", "ɛ", 0.7),
        ("ʌ", "a", 0.5), ("ɜɹ", "œɐ", 0.5), ("ɾ", "t", 0.8), *_PLAIN,
    ),
    "hindi": (
        *_PLAIN, ("θ", "t", 0.8), ("ð", "d", 0.8), ("w", "ʋ", 0.6), ("v", "ʋ", 0.5),
        ("t", "ʈ", 0.6), ("ɾ", "ʈ", 0.8), ("ɹ", "ɾ", 0.7), ("æ", "ɛ", 0.4), ("ɜ", "ʌ", 0.5),
        ("d", "ɖ", 0.5), ("ˈ", "", 0.3),
    ),
    "spanish": (
        *_LAX, *_PLAIN, *_FRONT, ("θ", "t", 0.5), ("θ", "s", 0.2), ("ð", "d", 0.6), ("z", "s", 0.7),
        ("v", "β", 0.5), ("v", "b", 0.4), ("ɹ", "ɾ", 0.7), ("h", "x", 0.5), ("ɜɹ", "eɾ", 0.5),
        ("ə", "e", 0.3), (r"(?<= )ˈ?s(?=[tpk])", "es", 0.4),
    ),
    "italian": (
        *_LAX, *_PLAIN, *_FRONT, ("θ", "t", 0.6), ("ð", "d", 0.6), ("ɹ", "r", 0.7), ("h", "", 0.5),
        ("ɜɹ", "ɛr", 0.6), (f"(?<=[tdknvs]){_END}", "ə", 0.3), ("ɾ", "t", 0.8),
    ),
    "slavic": (
        *_HARD, *_LAX, *_PLAIN, ("w", "v", 0.6), ("h", "x", 0.6), ("θ", "s", 0.4), ("θ", "t", 0.3),
        ("ð", "z", 0.4), ("ð", "d", 0.4), ("ɹ", "r", 0.8), ("æ", "ɛ", 0.6), ("ŋ", "nk", 0.2),
        ("ɜɹ", "ɛr", 0.5),
    ),
    "japanese": (
        *_LAX, *_PLAIN, *_FRONT, ("θ", "s", 0.7), ("ð", "z", 0.7), ("[lɹ]", "ɾ", 0.5),
        ("v", "b", 0.5), (f"(?<=[tdk]){_END}", "o", 0.15), ("ɜɹ?", "a", 0.6), ("h(?=u)", "f", 0.3),
    ),
    "chinese": (
        *_LAX, *_PLAIN, ("θ", "s", 0.7), ("ð", "d", 0.4), ("ð", "z", 0.3), ("v", "w", 0.4),
        (f"[td]{_END}", "", 0.15), ("z", "s", 0.4), ("æ", "ɛ", 0.5),
    ),
    "scots": (
        ("ɹ", "r", 0.5), ("ɹ", "ɾ", 0.5), ("A", "e", 0.8), ("[OQ]", "o", 0.8), ("u", "y", 0.3),
        ("W", "ʌu", 0.4), ("ɪ", "ɛ", 0.3), ("ɑ", "ɔ", 0.4), ("ɾ", "t", 0.3),
    ),
    "cockney": (
        ("θ", "f", 0.8), ("ð", "v", 0.3), ("h", "", 0.6), ("A", "I", 0.5), ("ɾ", "ʔ", 0.5),
        (f"t{_END}", "ʔ", 0.4), (f"l{_END}", "ʊ", 0.4),
    ),
}  # fmt: skip


def accented(phones: str, accent: str, rng: random.Random) -> str:
    """``phones`` in the synthesiser's alphabet, as a speaker with ``accent`` may say them."""
    strength = rng.uniform(0.5, 1.4)
    for pattern, said, often in ACCENTS[accent]:
        if rng.random() < often * strength:
            phones = re.sub(pattern, said, phones)
    return phones
