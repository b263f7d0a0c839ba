"""The model of a measurement."""

from __future__ import annotations

from typing import ClassVar, Literal

from assistant.procedure.fields import Id, Text
from assistant.procedure.step import LimitedStep


class MeasurementStep(LimitedStep):
    """A reading at one or more positions with a named gauge."""

    heard: ClassVar[bool] = True

    kind: Literal["measurement"]
    gauge: Id
    positions: tuple[Text, ...] = ()

    @property
    def places(self) -> tuple[str, ...]:
        """The positions; a step without any has the one nameless position."""
        return self.positions or ("",)
