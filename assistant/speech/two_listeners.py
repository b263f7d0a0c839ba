"""Two listeners as one engine: the grammar engine decides, the second one vouches or doubts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal, Protocol

from assistant.language.hypothesis import Hypothesis, Recognition
from assistant.speech.types import Engine, Utterance
from assistant.speech.written_numbers import NUMBER_WORDS, in_figures

Policy = Literal["alone", "confirm", "commands", "rescore"]
"""What the second listener may do: nothing; fill ``second``, so that a value it did not hear is
asked for; besides that settle commands that the first was unsure of; or choose among the
first's candidates, by their likelihood under its own model."""

POLICIES: tuple[Policy, ...] = ("alone", "confirm", "commands", "rescore")


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


def rescored(first: Recognition, nats: Sequence[float], second: str) -> Recognition:
    """``first`` with its candidates in the order of the second listener's likelihoods.

    ``second`` becomes the text that the second listener thinks likeliest; when that is not the
    first's own best, both stand in the answer, so that a value is asked for.
    """
    if not first.hypotheses:
        return replace(first, second=second)
    order = sorted(range(len(first.hypotheses)), key=lambda i: -nats[i])
    chosen = first.hypotheses[order[0]]
    return confirmed(first, chosen.text if order[0] else second)


def _trusted(hypotheses: tuple[Hypothesis, ...], agreed: bool) -> tuple[Hypothesis, ...]:
    if not agreed:
        return hypotheses
    # Two independent listeners that wrote the same words: the doubt left is the product of both.
    best = hypotheses[0]
    return (replace(best, confidence=1 - (1 - best.confidence) * 0.2), *hypotheses[1:])


class TwoListeners:
    """Asks ``second`` only about what ``first`` heard something in.

    ``near`` gives texts that sound close to a text under a grammar (by its JSGF text); under the
    policy ``rescore`` they are candidates beside the first's own.
    """

    def __init__(self, first: Engine, second: SecondListener, policy: Policy = "confirm") -> None:
        self.name = f"{first.name}+{second.name}"
        self._first = first
        self._second = second
        self._policy = policy

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar in both."""
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
        texts = [h.text for h in first.hypotheses]
        return rescored(first, self._second.weigh(utterance, texts), text)
