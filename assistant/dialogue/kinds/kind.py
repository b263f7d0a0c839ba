"""What the dialogue needs to know of a step kind."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Sequence
from typing import Any, ClassVar, Generic, Literal, TypeVar

from assistant.dialogue.context import Context
from assistant.dialogue.facts import Fact
from assistant.dialogue.stand_in import Answers
from assistant.dialogue.state import State, Value
from assistant.dialogue.turn import Turn
from assistant.procedure.models import Procedure
from assistant.procedure.step import Step
from assistant.quantities.amount import Amount
from assistant.quantities.propagation import Estimate

S = TypeVar("S", bound=Step)


class KindDialogue(ABC, Generic[S]):
    """One step kind in the dialogue.

    A kind that awaits something of its own is the owner of those states as well (``StateOwner``);
    what several kinds await (``Doing``, ``Review``, ``OutOfLimit``) is the frame's.
    """

    kind: ClassVar[str]
    facts: ClassVar[tuple[type[Fact], ...]] = ()  # that no other kind records
    may_be_skipped: ClassVar[bool] = True
    going_back_loses_nothing: ClassVar[bool] = False  # it yields nothing that would be taken back
    measures: ClassVar[bool] = False  # it yields readings, which can be taken again
    wait_is_part_of_work: ClassVar[bool] = False  # so its waits are not recorded
    wait_is_a_limit: ClassVar[bool] = False  # the longest time that the work may take

    @abstractmethod
    def begin(self, turn: Turn, step: S) -> None:
        """Say the step's own work and await what it needs."""

    def cautions(self, step: S) -> tuple[str, ...]:
        """The cautions to be acknowledged before the step's own work."""
        return step.cautions

    def obstacle(self, turn: Turn, step: S) -> str | None:
        """Why the step cannot be done with the tool at hand; None when it can.

        A warning that does not keep the step from being done is spoken here.
        """
        return None

    def say_tool(self, turn: Turn, step: S) -> None:  # most kinds name it whenever it is used
        """Another tool is in hand than the step began with: say what must be known of it."""

    def completed(self, turn: Turn, step: S) -> None:  # most kinds record as they go
        """The step is done: put what it yields in the state and the record."""

    def passes_by_itself(self, step: S) -> bool:
        """Whether the step is done without a word of the builder where all is well."""
        return False

    def part_way(self, turn: Turn, step: S, reason: str) -> bool:
        """Whether a step that is skipped for ``reason`` was begun, and must not be relied on."""
        return False

    def taken_back(  # most kinds hold nothing until it counts
        self, turn: Turn, step: S, why: Literal["reopened", "adjusted"] = "reopened"
    ) -> None:
        """The step is skipped or gone back over: the values read so far no longer count."""

    def estimate(
        self, procedure: Procedure, state: State, step: S, combine: str, places: Sequence[str]
    ) -> Estimate | None:
        """The one value of the step at ``places``, several of them combined.

        None of a kind that has none, and where it is not known.
        """
        return None

    def waits(self, step: S) -> Amount | None:
        """How long the wait takes that the step begins; None of a kind that begins none."""
        return None

    def clock_lost(self, turn: Turn, step: S) -> None:  # most have no use for the time that passed
        """The step's wait starts again, since nobody knows for how long the machine was off."""

    def timer_elapsed(self, turn: Turn, step: S) -> bool:
        """The step's timer rang. True: the step waits on, so the caller must not end the wait."""
        return False

    def say_doing(self, turn: Turn, step: S) -> None:
        """Say again what is being done."""
        turn.say_text(step.say)
        turn.ask("say_done", tone="plain")

    def say_standing(self, turn: Turn, step: S) -> None:  # most kinds have nothing of the sort
        """Read back the values of the open step that do not count yet."""

    def say_torque(self, turn: Turn, step: S) -> None:
        """Answer "what torque"."""
        turn.say("torque_none")

    def say_limit(self, turn: Turn, step: S) -> None:
        """Answer "what limit"."""
        turn.say("limit_none")

    def has_value(self, state: State, step: S) -> bool:
        """Whether there is a value of the step whose digits can be said."""
        return False

    def say_digits(self, turn: Turn, step: S) -> None:
        """Say the digits of the value of ``step`` read or computed last."""
        turn.say("nothing_to_correct")

    def in_words(self, context: Context, state: State, step: S, value: Value) -> str:
        """A value that was read at the step, in words."""
        return context.language.say_indication(value.indication)

    def rehearsed(self, context: Context, step: S, answers: Answers) -> Answers:
        """``answers`` with the plainest one for this step, as a rehearsal gives it."""
        return answers

    def for_rehearsal(self, step: S) -> S:
        """The step as a rehearsal takes it: without what only the real part can answer."""
        return step


_KINDS: dict[str, KindDialogue[Any]] = {}
_RECORDERS: dict[type[Fact], str] = {}


def register(kinds: Iterable[KindDialogue[Any]]) -> None:
    """Have ``kinds`` found by their names."""
    for kind in kinds:
        _KINDS[kind.kind] = kind
        _RECORDERS.update(dict.fromkeys(kind.facts, kind.kind))


def kind_of(step: Step) -> KindDialogue[Any]:
    """The dialogue of the step's kind."""
    return _KINDS[step.kind]


def recorder_of(fact: Fact) -> str | None:
    """The name of the kind that alone records ``fact``; None of a fact that any step may have."""
    return _RECORDERS.get(type(fact))
