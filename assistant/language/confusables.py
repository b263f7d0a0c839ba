"""Which other phrases of a grammar sound close to the heard one, from pronunciations alone.

Pure functions over a pronouncing dictionary given as a mapping; nothing here is a list of known
mix-ups.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from difflib import SequenceMatcher
from itertools import groupby

from assistant.language.phones import surely_apart, total_weight, unlikeness
from assistant.language.pronouncing import Phones

Pronunciations = Mapping[str, tuple[Phones, ...]]

NEAR = 0.335
"""Words up to this unlikeness count as confusable; set so that five and nine, the pair that
radio practice respells as "fife" and "niner", is caught and four and five is not."""
PHRASES_NEAR = 0.25
"""The same for whole phrases, where chance likeness of long strings needs a closer bound."""
TWINS = 0.15
"""Up to this unlikeness two phrases are twins, which even two listeners may both mistake. Of all
pairs of English number words only the teens and their tens (nineteen, ninety) are so close, at
0.12 and less; the next pair (fifty, sixty) is at 0.21."""
_SLIGHT = 2.2  # a word this light (a lone vowel, such as "oh" or "a") may come or go unheard


def neighbours(word: str, vocabulary: Iterable[str], sounds: Pronunciations) -> tuple[str, ...]:
    """Other words of ``vocabulary`` that sound close to ``word``, closest first."""
    near: list[tuple[float, str]] = []
    for other in vocabulary:
        pairs = ((a, b) for a in sounds.get(word, ()) for b in sounds.get(other, ()))
        close = [unlikeness(a, b) for a, b in pairs if not surely_apart(a, b, NEAR)]
        if other != word and close and min(close) <= NEAR:
            near.append((min(close), other))
    return tuple(other for _, other in sorted(near))


def variants(
    words: Sequence[str], near: Callable[[str], Sequence[str]], sounds: Pronunciations
) -> Iterator[tuple[str, ...]]:
    """``words`` with one of them misheard: replaced by a neighbour, or a slight one come or gone.

    ``near`` gives the neighbours of a word (see :func:`neighbours`).
    """
    for at, word in enumerate(words):
        before, after = tuple(words[:at]), tuple(words[at + 1 :])
        for other in near(word):
            yield (*before, other, *after)
        if _slight(word, sounds):
            yield before + after
        doubled = _slight(word, sounds) and (not after or after[0] != word)
        if doubled:
            yield (*before, word, word, *after)


def phrase_unlikeness(one: str, other: str, sounds: Pronunciations) -> float:
    """Unlikeness of two phrases, judged on what they do not share at either end.

    ``that is right`` against ``that is wrong`` is a matter of the last words alone.
    """
    a, b = _unshared(one, other)
    if not a and not b:
        return 0.0
    return min(unlikeness(x, y) for x in _said(a, sounds) for y in _said(b, sounds))


def phrases_near(one: str, other: str, sounds: Pronunciations, bound: float) -> bool:
    """Whether the unlikeness of two phrases is at most ``bound``.

    Most pairs are settled by their lengths alone.
    """
    a, b = _unshared(one, other)
    if not a and not b:
        return True
    return any(
        not surely_apart(x, y, bound) and unlikeness(x, y) <= bound
        for x in _said(a, sounds)
        for y in _said(b, sounds)
    )


def _unshared(one: str, other: str) -> tuple[list[str], list[str]]:
    a, b = one.split(), other.split()
    while a and b and a[0] == b[0]:
        a, b = a[1:], b[1:]
    while a and b and a[-1] == b[-1]:
        a, b = a[:-1], b[:-1]
    return a, b


def twins(one: str, other: str, sounds: Pronunciations) -> bool:
    """Whether two phrases sound almost the same wherever they differ (see :data:`TWINS`)."""
    a, b = one.split(), other.split()
    parts = SequenceMatcher(None, a, b, autojunk=False).get_opcodes()
    return all(
        phrase_unlikeness(" ".join(a[i:j]), " ".join(b[k:m]), sounds) <= TWINS
        for what, i, j, k, m in parts
        if what != "equal"
    )


def same_but_doubled(one: str, other: str, sounds: Pronunciations, vowels: bool = True) -> bool:
    """Whether two phrases come out the same when equal phones that meet are said as one.

    "Sixteen newton meters" and "sixty newton meters" differ by one of two N in a row.
    Without ``vowels``, only consonants that meet are said as one.
    """
    a, b = one.split(), other.split()
    while len(a) > 1 and len(b) > 1 and a[:2] == b[:2]:
        a, b = a[1:], b[1:]
    while len(a) > 1 and len(b) > 1 and a[-2:] == b[-2:]:
        a, b = a[:-1], b[:-1]
    return bool(_merged(a, sounds, vowels) & _merged(b, sounds, vowels))


def sounds_apart(one: str, other: str, sounds: Pronunciations) -> int:
    """How many sounds are put in, left out or changed between two phrases."""
    a, b = one.split(), other.split()
    parts = SequenceMatcher(None, a, b, autojunk=False).get_opcodes()
    return sum(
        min(_edits(x, y) for x in _said(a[i:j], sounds) for y in _said(b[k:m], sounds))
        for what, i, j, k, m in parts
        if what != "equal"
    )


def _edits(one: Phones, other: Phones) -> int:
    """Levenshtein's distance."""
    row = list(range(len(other) + 1))
    for x in one:
        above, row = row, [row[0] + 1]
        for at, y in enumerate(other, 1):
            row.append(min(above[at] + 1, row[-1] + 1, above[at - 1] + (x != y)))
    return row[-1]


def _slight(word: str, sounds: Pronunciations) -> bool:
    ways = sounds.get(word, ())
    return any(total_weight(way) <= _SLIGHT for way in ways)


def _merged(words: Sequence[str], sounds: Pronunciations, vowels: bool) -> set[Phones]:
    """What ``words`` are said as, with equal phones in a row as one."""

    def once(phone: str, row: Iterable[str]) -> Iterable[str]:
        return (phone,) if vowels or phone[0] not in "AEIOU" else row

    return {
        tuple(said for phone, row in groupby(way) for said in once(phone, row))
        for way in _said(words, sounds)
    }


def _said(words: Sequence[str], sounds: Pronunciations) -> list[Phones]:
    ways: list[Phones] = [()]
    for word in words:
        options = sounds.get(word) or (tuple(word.upper()),)
        ways = [way + option for way in ways[:8] for option in options[:3]]
    return ways
