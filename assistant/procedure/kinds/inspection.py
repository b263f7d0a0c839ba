"""Inspection: a hold point that a second person must accept."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import ClassVar, Literal

from assistant.procedure.draft import StepDraft
from assistant.procedure.fields import Text
from assistant.procedure.finding import Findings
from assistant.procedure.kinds.kind import StepKind
from assistant.procedure.outline import Outline
from assistant.procedure.step import Step

_LIKE = re.compile(r"\b(hold point|inspector|second person)\b", re.I)


class InspectionStep(Step):
    """Hold point: a named second person, not the builder, must accept."""

    kind: Literal["inspection"]
    criteria: Text


class InspectionKind(StepKind[InspectionStep]):
    """Accepted or refused by its criteria."""

    kind = "inspection"
    also_called = ("hold_point", "hold", "accept", "sign_off")
    model = InspectionStep
    is_hold_point = True
    hands_on = False
    examples: ClassVar = {"criteria": "All bolts marked"}
    rank = 2

    def figures(self, procedure: Outline, step: InspectionStep) -> list[str]:
        """By what it is accepted."""
        return [f"HOLD POINT. A second person accepts when: {step.criteria}"]

    def check(self, findings: Findings, step: InspectionStep) -> None:
        """Its criteria are checked with the words of all steps."""

    def start(self, draft: StepDraft) -> None:
        """Criteria to be written."""
        draft.step["criteria"] = "TODO: what the second person must see to accept"

    def sounds_like(self, sentence: str) -> bool:
        """It names a hold point or the second person."""
        return _LIKE.search(sentence) is not None

    def texts(self, step: InspectionStep) -> Iterable[tuple[str, str]]:
        """The criteria."""
        yield "criteria", step.criteria
