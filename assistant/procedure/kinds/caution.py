"""Caution: a step to be acknowledged before anything that follows."""

from __future__ import annotations

from typing import Literal

from assistant.procedure.draft import StepDraft
from assistant.procedure.finding import Findings
from assistant.procedure.kinds.kind import StepKind
from assistant.procedure.outline import Outline
from assistant.procedure.step import Step


class CautionStep(Step):
    """Hands get hurt here: nothing that follows opens before it is acknowledged."""

    kind: Literal["caution"]


class CautionKind(StepKind[CautionStep]):
    """Its words are the caution."""

    kind = "caution"
    also_called = ("warning", "danger", "hazard")
    model = CautionStep
    is_caution = True
    hands_on = False

    def figures(self, procedure: Outline, step: CautionStep) -> list[str]:
        """That it must be acknowledged."""
        return ["To be acknowledged before anything that follows."]

    def check(self, findings: Findings, step: CautionStep) -> None:
        """Its words are checked with those of all cautions."""

    def start(self, draft: StepDraft) -> None:
        """A caution needs no more than its words."""
