"""What the procedure room needs to know of a step kind."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Generic, Literal, NamedTuple, TypeVar

from assistant.procedure.draft import StepDraft
from assistant.procedure.fields import Model
from assistant.procedure.finding import Findings
from assistant.procedure.outline import Outline
from assistant.procedure.step import Step
from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits

S = TypeVar("S", bound=Step)


ListName = Literal["gauges", "consumables", "parts"]


class Use(NamedTuple):
    """Something that a step names: its list, its key and its id."""

    section: ListName
    key: str
    name: str


@dataclass(frozen=True)
class Announced:
    """What a tightening announces: its torques and its turns, in order.

    ``shown`` are further angles that its text may tell of, such as that of an adapter.
    """

    torques: tuple[Amount, ...]
    turns: tuple[Amount, ...] = ()
    shown: tuple[Amount, ...] = ()


class StepKind(ABC, Generic[S]):
    """One step kind in a procedure file; ``S`` is the model of its steps.

    What is abstract, every kind must say. The rest are answers to questions that checks ask of
    every kind; a kind answers those that concern it.
    """

    kind: ClassVar[str]
    """The word after ``kind:`` in a file."""
    model: ClassVar[type[Step]]

    is_caution: ClassVar[bool] = False
    """Nothing that follows opens before the step is acknowledged."""
    machine_runs: ClassVar[bool] = False
    """The machine runs while the step is done, so that what was locked out no longer is."""
    is_hold_point: ClassVar[bool] = False
    """A second person must accept."""

    phrases_count: ClassVar[bool] = True
    """Whether saying one of its phrases records anything; only then must they sound different."""

    nested: ClassVar[Mapping[str, type[Model]]] = {}
    """Keys of the step that hold keys of their own."""
    examples: ClassVar[Mapping[str, str]] = {}
    """An example value by key, or by the part it is in and the key (``bolt.thread``)."""
    also_known_as: ClassVar[Mapping[str, str]] = {}
    """Words that a writer may reach for first, and the key that is meant."""
    also_called: ClassVar[tuple[str, ...]] = ()
    """What a writer may call the kind itself."""

    columns: ClassVar[frozenset[str]] = frozenset()
    """Columns of a step list that only this kind has."""
    rank: ClassVar[int] = 0
    """Where a line of a step list may be of several kinds, the highest rank takes it."""

    @property
    @abstractmethod
    def hands_on(self) -> bool:
        """Whether hands are at the work, so that a hazard in its words wants a caution."""

    @abstractmethod
    def figures(self, procedure: Outline, step: S) -> list[str]:
        """The figures of a step, a sentence each: limits, torques, settings."""

    @abstractmethod
    def check(self, findings: Findings, step: S) -> None:
        """Note what is wrong or unwise in a step, as far as no other kind comes into it."""

    @abstractmethod
    def start(self, draft: StepDraft) -> None:
        """Fill in the keys of a starter's step that the kind needs, and mark what is not known."""

    def sounds_like(self, sentence: str) -> bool:
        """Whether a sentence of a manual may be a step of this kind."""
        return False

    def uses(self, step: S) -> Iterable[Use]:
        """Everything listed at the procedure's head that the step names."""
        return ()

    def needs_gauges(self, step: S) -> frozenset[str]:
        """Kinds of gauge that the step needs without naming one."""
        return frozenset()

    def records_number_of(self, step: S) -> str | None:
        """The part whose number the step records."""
        return None

    def inputs(self, step: S) -> tuple[str, ...]:
        """The steps whose values this one's value is computed from."""
        return ()

    def gauges_in_value(self, step: S) -> tuple[str, ...]:
        """The gauges whose uncertainty goes straight into the step's value."""
        return ()

    def phrases(self, step: S) -> Iterable[tuple[str, Sequence[str]]]:
        """(key, phrases) that the builder has to say, and that must be told apart by ear."""
        return ()

    def texts(self, step: S) -> Iterable[tuple[str, str]]:
        """(key, text) of sentences that are read aloud, beside title, words and cautions."""
        return ()

    def options(self, step: S) -> tuple[str, ...] | None:
        """The ids that a condition may ask of this choice; None when it is none."""
        return None

    def meanwhile(self, step: S) -> tuple[str, ...]:
        """Steps that may go on while this one runs."""
        return ()

    def announced(self, step: S) -> Announced | None:
        """What the step announces to be tightened to; None when it tightens nothing."""
        return None

    def limits(self, step: S) -> tuple[str, Limits] | None:
        """What the step judges or must come to, and its limits."""
        return None
