"""A stand-in for the builder: what is asked of them now, and what they have at hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from assistant.dialogue.context import Context
from assistant.dialogue.state import State
from assistant.procedure.kinds import kind_of as procedure_kind
from assistant.procedure.models import Procedure
from assistant.procedure.step import Step

S = TypeVar("S", bound=Step)


@dataclass(frozen=True)
class Answers:
    """What the builder has at hand.

    ``readings`` maps step id to position to the spoken phrase, or to several separated by ``;``
    where blades are tried one after the other, and by ``|`` for before and after each adjustment.
    ``numbers`` maps step id to the characters on the part, ``choices`` step id to option id.
    """

    revision: str
    variant: str = ""
    parts: str = ""
    inspector: str = ""  # initials
    choices: Mapping[str, str] = field(default_factory=dict)
    numbers: Mapping[str, str] = field(default_factory=dict)
    readings: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    disposition: str = "use_as_is"
    reason: str = "within wear allowance"


class StandInError(ValueError):
    """The answers lack something that the procedure asks; the message says what."""


@dataclass(frozen=True)
class StandIn:
    """An attentive builder with ``answers`` at hand, at ``state`` of a session."""

    context: Context
    state: State
    answers: Answers

    def step_as(self, kind: type[S]) -> S:
        """The open step, which is of ``kind`` here."""
        assert self.state.step is not None
        step = self.context.procedure.step(self.state.step)
        assert isinstance(step, kind)
        return step

    def say(self, command: str, place: str = "") -> str:
        """The words of a command, as it is named at ``place``."""
        return self.context.language.phrase_for(command, place)

    def agree(self, right: bool) -> str:
        """Yes to a readback that is right, no to one that is not."""
        return self.say("confirm" if right else "wrong")

    def spell(self, text: str) -> str:
        """``text`` in the spelling alphabet."""
        return self.context.language.say_spelling(text)

    def pick(self, wanted: str, phrases: tuple[tuple[str, str], ...]) -> str:
        """The words of one of ``phrases``.

        Raises:
            StandInError: ``wanted`` is none of them.
        """
        words = dict(phrases)
        if wanted not in words:
            raise StandInError(
                f"The answer '{wanted}' at step '{self.state.step}' is none of: {', '.join(words)}."
            )
        return words[wanted]

    def adjustments(self, step_id: str) -> int:
        """How often what a step measures was adjusted, for itself or for a computed value."""
        procedure, counts = self.context.procedure, self.state.adjusted
        later = (s for s in procedure.steps if s.id == step_id or step_id in behind(procedure, s))
        return sum(counts.get(s.id, 0) for s in later)

    def has_another(self, step_id: str) -> bool:
        """Whether the answers have a reading of a step for after the next adjustment."""
        said = self.answers.readings.get(step_id, {}).values()
        return any(self.adjustments(step_id) + 1 < len(phrase.split("|")) for phrase in said)

    def given(self, answers: Mapping[str, str]) -> str:
        """The answer for the open step.

        Raises:
            StandInError: there is none.
        """
        assert self.state.step is not None
        if self.state.step not in answers:
            raise StandInError(f"The answers have nothing for step '{self.state.step}'.")
        return answers[self.state.step]


def behind(procedure: Procedure, step: Step) -> set[str]:
    """The steps that a value comes from, through every computed value and stack of shims."""
    direct = set(procedure_kind(step).inputs(step))
    return direct.union(*(behind(procedure, procedure.step(s)) for s in direct))
