"""Which texts are worth comparing with the sound, once both listeners have said theirs."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from assistant.language.confusables import neighbours, phrase_unlikeness, twins, variants
from assistant.language.hypothesis import Recognition
from assistant.language.pronouncing import Phones
from assistant.speech.written_numbers import NUMBER_WORDS, in_figures, in_words, ways_to_say

MOST = 24
"""No more texts than this are compared; the sound-alikes of long numbers come last."""


@dataclass(frozen=True)
class Candidate:
    """A text to compare with the sound.

    ``fits``: the grammar has it; else it only raises doubt. ``written``: a listener wrote it; else
    it only sounds close to what one wrote.
    """

    text: str
    fits: bool = True
    written: bool = True


def same_words(one: str, other: str) -> bool:
    """Whether two texts say the same, numbers in words or in figures."""
    return in_figures(one) == in_figures(other)


def has_number(text: str) -> bool:
    """Whether ``text`` holds a number, in words or in figures."""
    return any(w in NUMBER_WORDS or any(c.isdigit() for c in w) for w in text.split())


def numbers(text: str) -> tuple[str, ...]:
    """The numbers of ``text`` in figures."""
    return tuple(w for w in in_figures(text).split() if any(c.isdigit() for c in w))


def candidates(
    first: Recognition,
    written: Sequence[str],
    near: Callable[[str], Iterable[str]],
    allows: Callable[[str], bool],
) -> list[Candidate]:
    """Texts worth weighing: the first's, what the second wrote, and what sounds close to either.

    ``written``: the second listener's transcripts, best first. ``near``: what sounds close to a
    text. ``allows``: whether the grammar has a text.

    Transcripts are taken in the grammar's words. One that is no phrase of the grammar is taken
    only when it holds another number than the first's best, and is the best transcript: it
    cannot be what was said, but it may show that the first's best is not either. Numbers said
    in other words ("double one", "one one") are one candidate.
    """
    if not first.hypotheses:
        return []
    found: dict[str, Candidate] = {}
    own = [h.text for h in first.hypotheses]
    for text in own:
        found.setdefault(in_figures(text), Candidate(text))
    fitting = [next(filter(allows, ways_to_say(text)), "") for text in written]
    phrases = [text for text in fitting if text]
    for text in phrases:
        found.setdefault(in_figures(text), Candidate(text))
    if written and not fitting[0] and _contradicts(own[0], written[0]):
        found.setdefault(in_figures(written[0]), Candidate(written[0], False))
    for centre in dict.fromkeys((own[0], *phrases[:1])):
        for text in near(centre):
            if len(found) < MOST and allows(text):
                found.setdefault(in_figures(text), Candidate(text, written=False))
    return list(found.values())


def _contradicts(best: str, written: str) -> bool:
    """Whether ``written`` has other numbers than ``best``.

    Not when it only took the unit for further decimals: Whisper models write "11.2 thou" as
    "11.23", the same digits and more of them, and no unit.
    """
    if not has_number(written) or numbers(best) == numbers(written):
        return False
    said = re.match(r"(.*\d\.\d+) \D+$", in_figures(best))
    return said is None or re.match(re.escape(said[1]) + r"[\d.]+$", written) is None


class SoundAlikes:
    """What sounds close to a text: one word of it replaced by a neighbour of the vocabulary.

    ``sounds``: a pronouncing dictionary, word to its pronunciations, as Language has it.
    """

    def __init__(self, sounds: Mapping[str, tuple[Phones, ...]]) -> None:
        self._sounds = sounds
        self._known: dict[tuple[str, tuple[str, ...]], tuple[str, ...]] = {}

    def of(self, text: str, words: tuple[str, ...]) -> list[str]:
        """Other texts that may have been said instead of ``text`` with ``words`` known."""

        def near(word: str) -> tuple[str, ...]:
            if (word, words) not in self._known:
                self._known[word, words] = neighbours(word, words, self._sounds)
            return self._known[word, words]

        return [" ".join(variant) for variant in variants(text.split(), near, self._sounds)]

    def unlikeness(self, one: str, other: str) -> float:
        """How unlike two texts sound: 0 the same, towards 1 nothing in common."""
        return phrase_unlikeness(in_words(one), in_words(other), self._sounds)

    def twins(self, one: str, other: str) -> bool:
        """Whether two texts sound almost the same wherever they differ."""
        return twins(in_words(one), in_words(other), self._sounds)
