"""Action: place, orient, lubricate, seal; confirmed by voice."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar, Literal

from assistant.procedure.draft import StepDraft
from assistant.procedure.fields import Id
from assistant.procedure.finding import Findings
from assistant.procedure.kinds.kind import StepKind, Use
from assistant.procedure.naming import material, part_name
from assistant.procedure.outline import Outline
from assistant.procedure.step import Step


class ActionStep(Step):
    """Place, orient, lubricate, seal; confirmed by voice."""

    changes_parts: ClassVar[bool] = True

    kind: Literal["action"]
    orientation: str = ""
    expect: str = ""  # "you should feel / see ..."
    materials: tuple[Id, ...] = ()
    parts: tuple[Id, ...] = ()


class ActionKind(StepKind[ActionStep]):
    """Parts and materials in the builder's hands."""

    kind = "action"
    model = ActionStep
    hands_on = True

    def figures(self, procedure: Outline, step: ActionStep) -> list[str]:
        """Parts, materials, which way round, and what to find."""
        lines = []
        if step.parts:
            lines.append("Parts: " + ", ".join(part_name(procedure, p) for p in step.parts) + ".")
        if step.materials:
            lines.append("Use: " + ", ".join(material(procedure, m) for m in step.materials) + ".")
        if step.orientation:
            lines.append("Which way round: " + step.orientation)
        if step.expect:
            lines.append("You should find: " + step.expect)
        return lines

    def check(self, findings: Findings, step: ActionStep) -> None:
        """What it names and says is checked with that of all steps."""

    def start(self, draft: StepDraft) -> None:
        """An action needs no more than its words."""

    def uses(self, step: ActionStep) -> Iterable[Use]:
        """Its materials and parts."""
        for name in step.materials:
            yield Use("consumables", "materials", name)
        for name in step.parts:
            yield Use("parts", "parts", name)

    def texts(self, step: ActionStep) -> Iterable[tuple[str, str]]:
        """Which way round, and what to find."""
        yield "orientation", step.orientation
        yield "expect", step.expect
