"""A procedure as its step kinds see it: whatever kinds there are."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from assistant.procedure.fields import Id, Model, Text
from assistant.procedure.listed import Applicability, Consumable, Gauge, GoverningDocument, Part
from assistant.procedure.step import Step


class Outline(Model):
    """All of a procedure; ``models.Procedure`` also says what each kind of step may hold."""

    id: Id
    title: Text
    revision: Annotated[str, Field(pattern=r"^[A-Z0-9]{1,8}$")]
    language: str = "en-US"
    governing: GoverningDocument
    applicability: Applicability = Applicability()
    gauges: tuple[Gauge, ...] = ()
    consumables: tuple[Consumable, ...] = ()
    parts: tuple[Part, ...] = ()
    steps: Annotated[tuple[Step, ...], Field(min_length=1)]

    def step(self, step_id: str) -> Step:
        """The step called ``step_id``; KeyError when there is none."""
        for step in self.steps:
            if step.id == step_id:
                return step
        raise KeyError(step_id)

    def gauge(self, gauge_id: str) -> Gauge:
        """The gauge called ``gauge_id``; KeyError when there is none."""
        for gauge in self.gauges:
            if gauge.id == gauge_id:
                return gauge
        raise KeyError(gauge_id)
