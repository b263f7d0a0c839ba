"""The step kinds in the record: one file a kind, and this list."""

from __future__ import annotations

from typing import Any

from assistant.dialogue.facts import Fact
from assistant.procedure.step import Step
from assistant.report.kinds.action import ActionReport
from assistant.report.kinds.caution import CautionReport
from assistant.report.kinds.choice import ChoiceReport
from assistant.report.kinds.derived import DerivedReport
from assistant.report.kinds.identification import IdentificationReport
from assistant.report.kinds.inspection import InspectionReport
from assistant.report.kinds.kind import KindReport
from assistant.report.kinds.log import LogReport
from assistant.report.kinds.measurement import MeasurementReport
from assistant.report.kinds.shims import ShimsReport
from assistant.report.kinds.tightening import TighteningReport
from assistant.report.kinds.wait import WaitReport
from assistant.report.model import BuildRecord

KINDS: tuple[KindReport[Any], ...] = (
    CautionReport(),
    ActionReport(),
    MeasurementReport(),
    LogReport(),
    DerivedReport(),
    ShimsReport(),
    TighteningReport(),
    IdentificationReport(),
    ChoiceReport(),
    WaitReport(),
    InspectionReport(),
)

_BY_FACT: dict[type[Fact], KindReport[Any]] = {fact: kind for kind in KINDS for fact in kind.facts}


_BY_KIND: dict[str, KindReport[Any]] = {kind.kind: kind for kind in KINDS}


def not_recorded(record: BuildRecord, step: Step) -> list[str]:
    """What of ``step`` a finished record lacks, a sentence each."""
    return _BY_KIND[step.kind].not_recorded(record, step)


def recording(fact: Fact) -> KindReport[Any] | None:
    """The kind that records ``fact``; None of a fact that any step, or the session, may have."""
    return _BY_FACT.get(type(fact))
