"""Two listeners as one engine: the grammar engine decides, the second one vouches or doubts."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Literal, Protocol

from assistant.language.confusables import neighbours, variants
from assistant.language.hypothesis import Hypothesis, Recognition
from assistant.language.pronouncing import Phones
from assistant.speech.types import Engine, Utterance
from assistant.speech.written_numbers import NUMBER_WORDS, in_figures

Policy = Literal["alone", "confirm", "commands", "weigh"]
"""What the second listener may do. ``alone``: nothing. ``confirm``: fill ``second`` with its own
transcript, so that a value it did not write is asked for. ``commands``: besides that, settle
which of the first's candidates a command was. ``weigh``: say how likely each candidate sounds to
it: the first's own, what sounds close to them, and its transcript; ``second`` is the likeliest."""

POLICIES: tuple[Policy, ...] = ("alone", "confirm", "commands", "weigh")

MARGIN = 6.0
"""Nats by which the likeliest number must lead every other to count as what was heard. "Sixty"
said and taken for "sixteen" by both listeners led by 4.4 nats in the bench."""

WORDS_MARGIN = 3.0
"""The same for phrases without numbers."""

FLOOR = -10.0
"""Nats below which the second listener holds that none of the first's candidates was said.
Phrases that were said came out at -0.4 to -6.1, radio talk and music at -13 and less."""

_DOUBTED = 0.7
"""Confidence of a text that only the second listener put first: high enough to be asked about."""

_MOST = 10


class SecondListener(Engine, Protocol):
    """An engine that can also say how likely given texts are."""

    def weigh(self, utterance: Utterance, texts: Sequence[str]) -> list[float]:
        """Log likelihood of each text given the sound, in nats."""


def same_words(one: str, other: str) -> bool:
    """Whether two texts say the same, numbers in words or in figures."""
    return in_figures(one) == in_figures(other)


def has_number(text: str) -> bool:
    """Whether ``text`` holds a number, in words or in figures."""
    return any(w in NUMBER_WORDS or any(c.isdigit() for c in w) for w in text.split())


def confirmed(first: Recognition, second: str) -> Recognition:
    """``first`` with the second listener's text beside it; agreement word for word adds trust."""
    agreed = bool(first.hypotheses) and same_words(first.hypotheses[0].text, second)
    return replace(first, hypotheses=_trusted(first.hypotheses, agreed), second=second)


def commands_settled(first: Recognition, second: str) -> Recognition:
    """Like :func:`confirmed`; a command among the first's candidates that the second heard wins.

    Never a value: between two values the builder is asked.
    """
    if has_number(second) or (first.hypotheses and has_number(first.hypotheses[0].text)):
        return confirmed(first, second)
    for other in first.hypotheses[1:]:
        if same_words(other.text, second):
            best = replace(other, confidence=first.hypotheses[0].confidence)
            rest = tuple(h for h in first.hypotheses if h is not other)
            return confirmed(replace(first, hypotheses=(best, *rest)), second)
    return confirmed(first, second)


def weighed(
    first: Recognition,
    second: str,
    texts: Sequence[str],
    nats: Sequence[float],
    margin: float = MARGIN,
    words_margin: float = WORDS_MARGIN,
) -> Recognition:
    """``first`` after the second listener wrote ``second`` and weighed ``texts``.

    The first's own candidates are among the texts.

    The likeliest text becomes ``second``. When the first's own best is it, but leads another by
    less than ``margin``, that other becomes ``second``, so that a value is asked for. When another
    text leads by ``margin``, it goes to the front as doubted: it is what will be asked about.
    When every one of the first's candidates is below :data:`FLOOR` and the second listener wrote
    something else than the first's best, none is left.
    """
    best = first.hypotheses[0]
    own = {h.text for h in first.hypotheses}
    best_own = max(n for text, n in zip(texts, nats, strict=True) if text in own)
    if best_own < FLOOR and not same_words(second, best.text):
        return replace(first, hypotheses=(), second="")
    order = sorted(range(len(texts)), key=lambda i: (-nats[i], i))
    top, runner_up = order[0], order[1] if len(order) > 1 else order[0]
    needed = margin if has_number(texts[top]) or has_number(texts[runner_up]) else words_margin
    clear = top == runner_up or nats[top] - nats[runner_up] >= needed
    if texts[top] == best.text:
        return confirmed(first, best.text if clear else texts[runner_up])
    if not clear:
        return confirmed(first, texts[top])
    known = [h for h in first.hypotheses if same_words(h.text, texts[top])]
    if not known:
        return confirmed(first, texts[top])
    front = replace(known[0], confidence=min(_DOUBTED, best.confidence))
    rest = tuple(h for h in first.hypotheses if h is not known[0])
    return replace(first, hypotheses=(front, *rest), second=texts[top])


def candidates(first: Recognition, second: str, near: Callable[[str], Iterable[str]]) -> list[str]:
    """Texts worth weighing: the first's, what sounds close to its best, the second's transcript.

    Numbers said in other words ("double one", "one one") are one candidate.
    """
    if not first.hypotheses:
        return []
    texts = [h.text for h in first.hypotheses]
    shapes = {_shape(t) for t in texts}
    others = [t for t in near(texts[0]) if not has_number(t) or _shape(t) in shapes]
    if not _unit_as_digits(texts[0], second):
        others.insert(0, second)
    found: dict[str, str] = {}
    for text in (*texts, *filter(None, others)):
        found.setdefault(in_figures(text), text)
    return list(found.values())[:_MOST]


def _unit_as_digits(best: str, second: str) -> bool:
    """Whether ``second`` is ``best`` with the unit taken for further decimals.

    Whisper models write "11.2 thou" as "11.23": the same digits and more of them, and no unit.
    Any other transcript is weighed, so that a number that the first did not hear raises doubt.
    """
    said = re.match(r"(.*\d\.\d+) \D+$", in_figures(best))
    return said is not None and re.match(re.escape(said[1]) + r"[\d.]+$", second) is not None


def _shape(text: str) -> str:
    """``text`` without its numbers."""
    return " ".join(w for w in in_figures(text).split() if not w[0].isdigit())


def _trusted(hypotheses: tuple[Hypothesis, ...], agreed: bool) -> tuple[Hypothesis, ...]:
    if not agreed:
        return hypotheses
    # Two listeners of different kinds that wrote the same: the doubt left is the product of both.
    best = hypotheses[0]
    return (replace(best, confidence=1 - (1 - best.confidence) * 0.2), *hypotheses[1:])


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


class TwoListeners:
    """Asks ``second`` only about what ``first`` heard something in.

    ``sounds``: pronunciations, for what sounds close to the first's answer (policy ``weigh``).
    """

    def __init__(
        self,
        first: Engine,
        second: SecondListener,
        policy: Policy = "weigh",
        sounds: Mapping[str, tuple[Phones, ...]] | None = None,
    ) -> None:
        self.name = f"{first.name}+{second.name}"
        self._first = first
        self._second = second
        self._policy = policy
        self._alike = SoundAlikes(sounds or {})
        self._words: tuple[str, ...] = ()

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar in both."""
        self._words = words
        self._first.listen_for(jsgf, words)
        self._second.listen_for(jsgf, words)

    def recognise(self, utterance: Utterance) -> Recognition:
        """The first's answer with the second's beside it; a rejected utterance stays rejected."""
        first = replace(self._first.recognise(utterance), engine=self.name)
        if not first.hypotheses or self._policy == "alone":
            return first
        heard = self._second.recognise(utterance).hypotheses
        text = heard[0].text if heard else ""
        if self._policy == "confirm":
            return confirmed(first, text)
        if self._policy == "commands":
            return commands_settled(first, text)
        texts = candidates(first, text, lambda best: self._alike.of(best, self._words))
        return weighed(first, text, texts, self._second.weigh(utterance, texts))
