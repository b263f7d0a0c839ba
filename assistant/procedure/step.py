"""What every step of a procedure has, of whatever kind; the kinds are in ``procedure/kinds``."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from typing import Any, ClassVar, Literal, Protocol

from pydantic import Field, model_validator

from assistant.procedure.comparing import Comparison
from assistant.procedure.fields import FitName, Id, Model, Quantity, Text, UnitCode
from assistant.procedure.places import Axis, ValueSource, names
from assistant.quantities.amount import Amount
from assistant.quantities.fits import FitError, limits_of
from assistant.quantities.limits import Limits
from assistant.quantities.units import same_dimension

_BOUNDS = ("lower", "upper", "plausible_low", "plausible_high")


class Condition(Model):
    """When a step applies; every key given must hold.

    ``choice`` and ``reading`` map step ids to an option id, or to ``in`` / ``out``; ``value`` a
    step with one value, or one of its values, to ``below 0 mm``, ``above``, ``at least`` or
    ``at most``.
    """

    variant: tuple[Id, ...] = ()
    parts: Literal["new", "reused"] | None = None
    choice: dict[Id, Id] = Field(default_factory=dict)
    reading: dict[Id, Literal["in", "out"]] = Field(default_factory=dict)
    value: dict[ValueSource, Comparison] = Field(default_factory=dict)


class Step(Model):
    """What every step has: ``say`` is read aloud; ``after`` names prerequisite steps."""

    changes_parts: ClassVar[bool] = False
    """Whether parts may be fitted, loosened or exchanged in it."""

    id: Id
    title: Text
    say: Text
    after: tuple[Id, ...] = ()
    when: Condition | None = None
    cautions: tuple[Text, ...] = ()
    reference: str = ""  # section of the governing document
    picture: str = ""  # what must be seen in a picture; the step is not done without one
    kind: str  # each kind narrows it to its own word

    @property
    def waited(self) -> Amount | None:
        """How long is waited in it; None of a step that is not a wait."""
        return None

    def source(self, picks: Sequence[str]) -> tuple[LimitedStep, tuple[str, ...]] | None:
        """What a later step takes by ``picks``: what has that value, and the picks of its places.

        None of a step without a value, and where it has no such value.
        """
        return None

    def offers(self, procedure: StepsInOrder) -> tuple[str, ...]:
        """Values that a later step may take, as it has to name them."""
        return ()


class StepsInOrder(Protocol):
    """A procedure, as far as a step may look at the steps before it."""

    @property
    def steps(self) -> tuple[Step, ...]:
        """All steps, in order."""


class LimitedStep(Step):
    """A step that yields a quantity value judged against limits."""

    heard: ClassVar[bool] = False
    """Whether the builder reads the value out; conditions may ask whether it was in or out."""

    quantity: Text  # "end float"
    unit: UnitCode
    fit: FitName | None = None  # gives both limits
    lower: Quantity | None = None
    upper: Quantity | None = None
    plausible_low: Quantity | None = None
    plausible_high: Quantity | None = None
    rule: Literal["simple", "guarded"] = "simple"

    @model_validator(mode="before")
    @classmethod
    def _limits_of_fit(cls, data: Any) -> Any:
        """Fill in the limits that the name of a fit stands for, where none are written.

        Others that are written stay, and the check reports them.
        """
        name = data.get("fit") if isinstance(data, dict) else None
        if not isinstance(name, str) or {"lower", "upper"} & set(data):
            return data
        try:
            limits = limits_of(name)
        except FitError:
            return data  # told of the name itself
        return {**data, "lower": str(limits.lower), "upper": str(limits.upper)}

    def source(self, picks: Sequence[str]) -> tuple[LimitedStep, tuple[str, ...]] | None:
        """Its own value; the picks name places."""
        return self, tuple(picks)

    def offers(self, procedure: StepsInOrder) -> tuple[str, ...]:
        """Its value."""
        return (self.id,)

    @property
    def limits(self) -> Limits:
        """Both limits as one value."""
        return Limits(self.lower, self.upper)

    def axes(self, procedure: StepsInOrder) -> tuple[Axis, ...]:
        """The lists of names of its places; none of what has the one nameless place."""
        return ()

    def places_in(self, procedure: StepsInOrder) -> tuple[str, ...]:
        """Where the value is taken; what has no positions has the one nameless position."""
        return names(self.axes(procedure))

    def misfits(self) -> tuple[str, ...]:
        """The keys of limits and plausible band that measure something else than ``unit``."""
        given = {key: getattr(self, key) for key in _BOUNDS}
        return tuple(
            key
            for key, amount in given.items()
            if amount is not None and not same_dimension(amount.unit, self.unit)
        )


class GaugedStep(LimitedStep, ABC):
    """A quantity that is read off a named gauge, at one or more places.

    With ``around`` the limits are counted from an earlier value.
    """

    gauge: Id
    around: ValueSource | None = None

    @property
    @abstractmethod
    def places(self) -> tuple[str, ...]:
        """Where it is read, in order; what has no positions has the one nameless position."""


class ReadStep(Step, ABC):
    """A step with values that the builder reads out, one at each of its places.

    A measurement is read once. A log is read row by row; each of its places belongs to one row.
    """

    @property
    @abstractmethod
    def places(self) -> tuple[str, ...]:
        """Where a value is taken, in order; every value is known by its place."""

    @abstractmethod
    def at(self, place: str) -> GaugedStep:
        """What is read at a place: quantity, gauge, limits. It has the places of the whole step."""

    @abstractmethod
    def asked(self, row: int) -> Sequence[int]:
        """The indices of the places that are read together in ``row``."""

    @abstractmethod
    def phrases(self, row: int) -> tuple[tuple[str, str], ...]:
        """(place, words): places of ``row`` that the builder may name."""

    @abstractmethod
    def spoken(self, place: str) -> str:
        """A place as it is said in its row."""

    @property
    def when_out(self) -> str:
        """What is said first when a value is out of limits; empty where nothing is."""
        return ""
