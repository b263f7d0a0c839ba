"""What a recogniser thinks was said. Plain data, shared by engines and the dialogue."""

from __future__ import annotations

from dataclasses import dataclass

KEYBOARD = "keyboard"
"""The engine of typed lines."""


@dataclass(frozen=True)
class Word:
    """One recognised word: lower-case ``text``, start and end in seconds, confidence 0 to 1."""

    text: str
    start_s: float = 0.0
    end_s: float = 0.0
    confidence: float = 1.0


@dataclass(frozen=True)
class Hypothesis:
    """One reading of an utterance: its words and an overall confidence from 0 to 1.

    ``behind``: nats by which the engine's own likelihood of it is below that of its best; None
    where the engine does not tell.
    """

    words: tuple[Word, ...]
    confidence: float = 1.0
    behind: float | None = None

    @property
    def text(self) -> str:
        """The words joined by single spaces."""
        return " ".join(word.text for word in self.words)


@dataclass(frozen=True)
class WeighedText:
    """How likely ``text`` is held to be: the log likelihood in nats.

    To the second listener, or to both together where the first's are counted in (``vouching``).
    """

    text: str
    nats: float


@dataclass(frozen=True)
class Recognition:
    """An engine's answer to one utterance: hypotheses, best first; none when rejected.

    ``second`` holds an independent second listener's best text, where one is fitted; None means
    no second listener, the empty string means that it heard nothing of the grammar.
    ``weighed`` holds every text that it compared with the sound, where it can do that, and how
    likely each is to both listeners together.
    ``beyond``: every phrase that is not among the hypotheses is at least so many nats behind the
    best. ``behind`` of the hypotheses is then the logarithm of a likelihood ratio. None: the engine
    did not compare every phrase of its grammar with the sound.
    ``shared``: a consonant that ends one word and begins the next was compared as said once too.
    ``twice``: two looks were taken at the sound, and ``behind`` is what holds in both.
    ``by_word``: heard since a word in the place of another needs a lead of its own.
    """

    hypotheses: tuple[Hypothesis, ...]
    engine: str
    second: str | None = None
    weighed: tuple[WeighedText, ...] = ()
    beyond: float | None = None
    shared: bool = False
    twice: bool = False
    by_word: bool = False


def typed(text: str) -> Recognition:
    """A keyboard line as a recognition: certain, and from the engine called ``keyboard``."""
    words = tuple(Word(w) for w in text.lower().split())
    return Recognition((Hypothesis(words),) if words else (), KEYBOARD)
