"""Five builders who are not attentive: terse, chatty, forgetful, error-prone, slow.

Each says what the attentive stand-in would say (``next_line``), but in their own way, and with
what such a builder puts between. Pure and drawn from a seeded ``Random``: the same number gives the
same job. None of them confirms what was heard wrong.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from fractions import Fraction
from random import Random
from typing import ClassVar

from assistant.dialogue.context import Context
from assistant.dialogue.expectation import listening
from assistant.dialogue.state import State
from assistant.dialogue.states import GoingBack, Noting, Skipping, Stopping
from assistant.language.spec import Command, ListenSpec, Phrase, Reading, Spelling
from assistant.quantities.amount import Amount

_ASIDES = (Noting, Stopping, GoingBack, Skipping)
_HABITS = ("go_on", "done", "understood", "confirm")
"""What moves the work on at some moment, and is said from habit at another."""


@dataclass(frozen=True)
class Moment:
    """What the builder knows when they open their mouth.

    ``line`` is the attentive one's answer, ``before`` what this builder said last. ``astray``: that
    led nowhere, and the answer to it was listened to.
    """

    context: Context
    state: State
    line: str
    rng: Random
    before: str = ""
    astray: bool = False

    @property
    def spec(self) -> ListenSpec:
        """What is listened for."""
        return listening(self.context, self.state).spec

    def phrase(self, command: str) -> str:
        """The words of a command."""
        return self.context.language.phrase_for(command)

    def chance(self, of: float) -> bool:
        """Whether something that happens so often happens now."""
        return self.rng.random() < of

    @property
    def aside(self) -> bool:
        """Whether nothing is put before the line: something else is asked, or went astray."""
        return self.astray or isinstance(self.state.awaiting, _ASIDES)


class Builder(ABC):
    """One way to work: what is said in place of, or before, the attentive one's line."""

    name: ClassVar[str]
    talk: ClassVar[str] = "usual"
    seconds: ClassVar[int] = 10  # from one utterance to the next
    rests: ClassVar[float] = 0.0  # how often the builder stops for the day instead

    @abstractmethod
    def says(self, at: Moment) -> list[str]:
        """The next lines; the attentive one's own is asked for again after them."""


class Attentive(Builder):
    """The one of the demonstration: for comparison."""

    name = "attentive"

    def says(self, at: Moment) -> list[str]:
        """What is asked."""
        return [at.line]


class Terse(Builder):
    """Wants the fewest words, and gives the fewest: the shortest phrase, no unit."""

    name = "terse"
    talk = "brief"

    def says(self, at: Moment) -> list[str]:
        """The shortest way to say it."""
        meanings = at.context.language.interpret(at.spec, at.line)
        match meanings:
            case (Command(id=command),):
                return [min(at.context.language.phrases_for(command), key=len)]
            case (Reading(indication=shown),) if at.spec.reading is not None:
                unit = at.spec.reading.units[0]
                bare = at.context.language.say_number(shown.amount.value, shown.amount.decimals())
                if shown.relation == "eq" and shown.amount.unit == unit:
                    return [at.context.language.prompt("reading_phrase", value=bare)]
        return [at.line]


class Chatty(Builder):
    """Has everything said, asks about everything, talks to others and to the machine."""

    name = "chatty"
    talk = "new"

    _ASKS = ("where_am_i", "what_is_left", "what_limit", "what_torque", "read_cautions", "digits")
    _TALK = ("well let me see now", "hand me that rag", "what a day", "here we go then")

    def says(self, at: Moment) -> list[str]:
        """The line, and now and then a question, some talk or a note before it."""
        if at.aside:
            return [at.line]
        if at.chance(0.15):
            return [at.phrase(at.rng.choice(self._ASKS))]
        if at.chance(0.1):
            return [at.rng.choice(self._TALK)]
        if at.state.step is not None and at.chance(0.05):
            return [at.phrase("take_note"), "a light scratch on the flange"]
        return [at.line]


class Forgetful(Builder):
    """Has the last words repeated, forgets which words go on, and that listening is paused."""

    name = "forgetful"

    def says(self, at: Moment) -> list[str]:
        """The line, or a request, or words that belong to another moment."""
        if at.aside:
            return [at.line]
        if at.chance(0.15):
            return [at.phrase("repeat")]
        if at.chance(0.08):
            return [at.phrase("help"), *[at.phrase("help_more")] * at.rng.randrange(3)]
        if at.chance(0.12):
            return [at.phrase(_elsewhere(at))]
        if at.before and at.chance(0.08):
            return [at.before]  # was that said already?
        if at.chance(0.03):
            return [at.phrase("pause_listening"), at.line, at.phrase("resume_listening")]
        return [at.line]


class ErrorProne(Builder):
    """Says the wrong thing and corrects it: values, spellings, choices, and going too far."""

    name = "error-prone"

    _SLIPS = ("correction", "wrong", "remeasure", "missed", "go_back", "skip")

    def says(self, at: Moment) -> list[str]:
        """The line, or a slip; the attentive one's next line puts it right."""
        if at.aside:
            return [at.line]
        if at.chance(0.3) and (slip := _slip(at)):
            return [slip]
        if at.chance(0.08):
            return [at.phrase(at.rng.choice(self._SLIPS))]
        return [at.line]


class Slow(Builder):
    """Takes minutes over everything, lets waits run over, and leaves the job for the night."""

    name = "slow"
    seconds = 240
    rests = 0.03

    def says(self, at: Moment) -> list[str]:
        """What is asked."""
        return [at.line]


BUILDERS: tuple[Builder, ...] = (
    Attentive(), Terse(), Chatty(), Forgetful(), ErrorProne(), Slow(),
)  # fmt: skip


def _elsewhere(at: Moment) -> str:
    """A command said from habit that is not awaited now; else one that is always answered."""
    others = [c for c in _HABITS if c not in at.spec.commands]
    return at.rng.choice(others or ["where_am_i"])


def _slip(at: Moment) -> str:
    """Something of the same kind as the line, but wrong; empty where there is nothing like it."""
    language, spec = at.context.language, at.spec
    match language.interpret(spec, at.line):
        case (Reading(indication=shown),) if shown.relation == "eq" and spec.reading is not None:
            amount = shown.amount
            step = Fraction(1, 10 ** (amount.decimals() or 0))
            off = Amount(amount.value + step * at.rng.choice((-1, 1, 2)), amount.unit, step)
            value = language.say_amount(off)
            return language.prompt("reading_phrase", value=value) if off.value > 0 else ""
        case (Spelling(text=text, then=then),):
            other = at.rng.choice([c for c in "ACDKM27" if c != text[-1]])
            said = language.say_spelling(text[:-1] + other)
            return " ".join(filter(None, (said, dict(spec.after_spelling).get(then, ""))))
        case (Phrase(id=meant),):
            others = [words for value, words in spec.phrases if value != meant]
            return at.rng.choice(others) if others else ""
    return ""
