"""The step kinds of a procedure: one file or package a kind, and this list."""

from __future__ import annotations

from typing import Any

from assistant.procedure.kinds.action import ActionKind
from assistant.procedure.kinds.caution import CautionKind
from assistant.procedure.kinds.choice import ChoiceKind
from assistant.procedure.kinds.derived import DerivedKind
from assistant.procedure.kinds.identification import IdentificationKind
from assistant.procedure.kinds.inspection import InspectionKind
from assistant.procedure.kinds.kind import StepKind
from assistant.procedure.kinds.log import LogKind
from assistant.procedure.kinds.measurement import MeasurementKind
from assistant.procedure.kinds.shims import ShimsKind
from assistant.procedure.kinds.tightening import TighteningKind
from assistant.procedure.kinds.wait import WaitKind
from assistant.procedure.step import Step

KINDS: tuple[StepKind[Any], ...] = (
    CautionKind(),
    ActionKind(),
    MeasurementKind(),
    LogKind(),
    DerivedKind(),
    ShimsKind(),
    TighteningKind(),
    IdentificationKind(),
    ChoiceKind(),
    WaitKind(),
    InspectionKind(),
)

BY_NAME: dict[str, StepKind[Any]] = {kind.kind: kind for kind in KINDS}
STEP_KINDS = tuple(BY_NAME)


def kind_of(step: Step) -> StepKind[Any]:
    """The kind of ``step``."""
    return BY_NAME[step.kind]
