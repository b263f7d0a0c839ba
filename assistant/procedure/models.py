"""Typed model of an assembly procedure: what ``procedures/*.yaml`` may say."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from pydantic import Field, GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from assistant.procedure.kinds import KINDS
from assistant.procedure.kinds.action import ActionStep
from assistant.procedure.kinds.caution import CautionStep
from assistant.procedure.kinds.choice import ChoiceStep
from assistant.procedure.kinds.derived import DerivedStep
from assistant.procedure.kinds.identification import IdentificationStep
from assistant.procedure.kinds.inspection import InspectionStep
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.kinds.shims import ShimStep
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.kinds.wait import WaitStep
from assistant.procedure.listed import Gauge
from assistant.procedure.outline import Outline
from assistant.procedure.step import LimitedStep, Step

__all__ = [
    "ActionStep", "AnyStep", "CautionStep", "ChoiceStep", "DerivedStep", "Gauge",
    "IdentificationStep", "InspectionStep", "LimitedStep", "MeasurementStep", "Procedure",
    "ShimStep", "TighteningStep", "WaitStep",
]  # fmt: skip


class _OfAKind:
    """Makes of ``Step`` the union of all kinds, told apart by ``kind``."""

    def __get_pydantic_core_schema__(
        self, source: type[Step], handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.tagged_union_schema(
            {kind.kind: handler.generate_schema(kind.model) for kind in KINDS}, discriminator="kind"
        )


if TYPE_CHECKING:
    AnyStep = Step
else:
    AnyStep = Annotated[Step, _OfAKind()]


class Procedure(Outline):
    """A whole assembly procedure."""

    steps: Annotated[tuple[AnyStep, ...], Field(min_length=1)]

    def step(self, step_id: str) -> AnyStep:
        """The step called ``step_id``; KeyError when there is none."""
        for step in self.steps:
            if step.id == step_id:
                return step
        raise KeyError(step_id)
