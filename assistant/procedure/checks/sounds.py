"""How alike two phrases sound, by the pronouncing dictionary that the recogniser goes by.

Words of a language that gives its letters' phones are sounded out; else the comparison falls back
to spelling.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from assistant.language.pronouncing import (
    Joined,
    Phones,
    SoundedOut,
    bundled_dictionary,
    read_dictionary,
)
from assistant.procedure.checks.tongue import extra_words, letter_phones

# Pairs of phones that a noisy bench blurs: voiced and unvoiced, nasals, neighbouring vowels.
_NEAR = {
    frozenset(text.split())
    for text in (
        "P B", "T D", "K G", "F V", "S Z", "M N", "N NG", "F TH", "V DH", "CH SH", "JH CH",
        "IH IY", "EH AE", "AH AA", "AO AA", "UH UW", "IH EH", "AH IH", "ER AH", "SH S", "AO OW",
    )
}  # fmt: skip


@lru_cache(maxsize=8)
def pronunciations(tag: str = "en-US") -> Mapping[str, tuple[Phones, ...]]:
    """Word -> its pronunciations in ARPABET phones; empty when there is no dictionary.

    The bundled dictionary is English; another language has what its own word list gives.
    """
    extra = extra_words(tag)
    own = {} if extra is None else read_dictionary(extra)
    bundled = bundled_dictionary() if tag.startswith("en") else {}
    found = Joined(bundled, own, both=True)
    letters = letter_phones(tag)
    return SoundedOut(found, letters) if letters else found


def unknown_words(phrase: str, tag: str = "en-US") -> list[str]:
    """Words of ``phrase`` that the dictionary does not know; none when there is no dictionary."""
    known = pronunciations(tag)
    return [w for w in phrase.split() if w not in known] if known else []


@lru_cache(maxsize=65536)
def closeness(one: str, other: str, tag: str = "en-US") -> float:
    """1 when two phrases sound the same, towards 0 the less they share.

    Words that the phrases have in common in the same place are left out first: it is the rest
    that must tell ``bolt one`` from ``bolt two``.
    """
    a, b = one.split(), other.split()
    while a and b and a[0] == b[0]:
        a, b = a[1:], b[1:]
    while a and b and a[-1] == b[-1]:
        a, b = a[:-1], b[:-1]
    if not a and not b:
        return 1.0
    return max(_alike(x, y) for x in _spoken(a, tag) for y in _spoken(b, tag))


def _spoken(words: list[str], tag: str) -> list[Phones]:
    """Ways to say ``words``, at most a few; letters stand in for unknown words."""
    known = pronunciations(tag)
    ways: list[Phones] = [()]
    for word in words:
        options = known.get(word, (tuple(word),))[:3]
        ways = [way + option for way in ways[:9] for option in options]
    return ways


def _alike(a: Phones, b: Phones) -> float:
    """One less the weighted edit distance over the length of the longer."""
    if not a or not b:
        return 1.0 if a == b else 0.0
    row = [float(j) for j in range(len(b) + 1)]
    for i, x in enumerate(a, 1):
        above, row = row, [float(i)]
        for j, y in enumerate(b, 1):
            swap = 0.0 if x == y else 0.4 if frozenset((x, y)) in _NEAR else 1.0
            row.append(min(above[j] + 1, row[j - 1] + 1, above[j - 1] + swap))
    return 1 - row[-1] / max(len(a), len(b))
