"""Kinds that end in a review, and kinds whose values are judged against limits."""

from __future__ import annotations

from abc import abstractmethod
from typing import Any, TypeVar

from assistant.dialogue import adjusting
from assistant.dialogue.context import Context
from assistant.dialogue.kinds.kind import KindDialogue, kind_of
from assistant.dialogue.owner import MayBeSaid, Said
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State, Value
from assistant.dialogue.states import OutOfLimit, Review
from assistant.dialogue.turn import Turn
from assistant.language.spec import NumberSpec
from assistant.procedure.models import Procedure
from assistant.procedure.step import Step

S = TypeVar("S", bound=Step)


class ReviewedKind(KindDialogue[S]):
    """All of the step is done, and the builder may still correct before going on (``Review``)."""

    def review_allows(self, context: Context, state: State, step: S) -> MayBeSaid:
        """What may be said in the review; leaving the step goes without saying."""
        return MayBeSaid(("go_on", "correction", "remeasure", "wrong"))

    def answer_review(self, turn: Turn, step: S, at: Review, said: Said) -> bool:
        """Correct something in the review; returns whether what was said means anything."""
        return False

    def confirmed(self, turn: Turn, step: S) -> None:  # most kinds have recorded all by then
        """The builder goes on: from now on the step's values count."""

    def goes_on(self, turn: Turn, step: S) -> bool:
        """Go on within the step, where it is not done by what was confirmed; tells whether it is
        not.
        """
        return False

    def say_review(self, turn: Turn, step: S) -> None:
        """Ask to go on, or to correct."""
        turn.ask("review_go_on", tone="plain")

    def put_right(self, builder: StandIn, step: S) -> str:
        """What the stand-in builder says of what was heard otherwise than meant; empty if none."""
        return ""


class JudgedKind(ReviewedKind[S]):
    """Values that may be out of limits: they hold the step until they are decided on.

    A value is known by the index of its position; ``position`` names it.
    """

    @abstractmethod
    def position(self, procedure: Procedure, step: S, index: int) -> str:
        """The name of position ``index``; empty for the one nameless position."""

    @abstractmethod
    def index(self, procedure: Procedure, step: S, position: str) -> int:
        """The index of a position."""

    @abstractmethod
    def say_value_at(self, turn: Turn, step: S, position: str) -> None:
        """Read back the value that holds the step at ``position``, with its verdict."""

    @abstractmethod
    def value_out(self, turn: Turn, step: S, position: str) -> Value:
        """The value that holds the step at ``position``."""

    @abstractmethod
    def measure_again(self, turn: Turn, step: S, index: int) -> None:
        """Something was adjusted: what was measured at the step is measured again."""

    def measured_at(self, turn: Turn, step: S) -> str | None:
        """The earlier step to measure at again; None where the step measures by itself."""
        return None

    def only_inputs_since(self, turn: Turn, step: S, to: str) -> bool:
        """Whether nothing but what goes into the value was done since step ``to``."""
        return True

    def ask_out(self, turn: Turn, step: S, index: int) -> None:
        """Ask what is to be done with the value that holds the step."""
        position = self.position(turn.context.procedure, step, index)
        if not adjusting.ask(turn, step, self.value_out(turn, step, position)):
            turn.say("out_of_limit_ask", tone="ask")

    def adjusted_next(self, builder: StandIn, step: S, index: int) -> bool:
        """Whether the stand-in builder has another value at hand for after an adjustment."""
        return False

    @abstractmethod
    def answer_out(self, turn: Turn, step: S, at: OutOfLimit, said: Said) -> bool:
        """Take the value back, or read another; returns whether what was said means anything."""

    @abstractmethod
    def part_changed(self, turn: Turn, step: S, index: int) -> None:
        """The part was reworked or replaced: the old value is not that of the part as it is."""

    @abstractmethod
    def value_stands(self, turn: Turn, step: S) -> None:
        """The value was let stand by a second person: go on behind it."""

    def reading_when_out(self, context: Context, state: State, step: S) -> NumberSpec | None:
        """How another reading may be said in place of a value out of limits, if it may."""
        return None

    def as_meant(self, builder: StandIn, step: S, index: int) -> bool:
        """Whether the value was heard as the stand-in builder meant it."""
        return True


def reviewed(step: Step) -> ReviewedKind[Any]:
    """The kind of a step that is in review."""
    kind = kind_of(step)
    assert isinstance(kind, ReviewedKind)
    return kind


def judged(step: Step) -> JudgedKind[Any]:
    """The kind of a step that has a value out of limits."""
    kind = kind_of(step)
    assert isinstance(kind, JudgedKind)
    return kind
