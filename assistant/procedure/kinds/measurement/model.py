"""The model of a measurement, and of every step whose values are read out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, Literal

from pydantic import Field

from assistant.procedure.adjusting import AdjustableStep
from assistant.procedure.fields import Quantity
from assistant.procedure.places import POSITION, Axis, Grid, PlaceNames, names
from assistant.procedure.step import GaugedStep, ReadStep, StepsInOrder


class MeasurementStep(AdjustableStep, GaugedStep, ReadStep):
    """A reading at one or more positions with a named gauge.

    With ``grid`` every place has a name of each list: mains one to five, each two ways. With
    ``around`` the limits are counted from an earlier value: -0.005 mm to 0 mm of a size to grind.
    """

    heard: ClassVar[bool] = True

    kind: Literal["measurement"]
    positions: PlaceNames = ()
    grid: Grid = Field(default_factory=dict)
    stem: Quantity | None = None  # how far a dial's stem leans from the way that it measures

    @property
    def lists(self) -> tuple[Axis, ...]:
        """The lists of names of its places."""
        if self.grid:
            return tuple(Axis(name, places) for name, places in self.grid.items())
        return (Axis(POSITION, self.positions),) if self.positions else ()

    @property
    def places(self) -> tuple[str, ...]:
        """The positions; a step without any has the one nameless position."""
        return names(self.lists)

    @property
    def named_places(self) -> tuple[str, ...]:
        """The places that the builder may name."""
        return self.places if self.lists else ()

    def axes(self, procedure: StepsInOrder) -> tuple[Axis, ...]:
        """The lists of names of its places."""
        return self.lists

    def at(self, place: str) -> GaugedStep:
        """The step itself: the same is read everywhere."""
        return self

    def asked(self, row: int) -> Sequence[int]:
        """All of them."""
        return range(len(self.places))

    def phrases(self, row: int) -> tuple[tuple[str, str], ...]:
        """The positions, by their names."""
        return tuple((p, p) for p in self.named_places)

    def spoken(self, place: str) -> str:
        """Its name."""
        return place
