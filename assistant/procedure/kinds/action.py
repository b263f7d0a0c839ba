"""Action: place, orient, lubricate, seal; confirmed by voice."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import ClassVar, Literal

from assistant.procedure.draft import StepDraft
from assistant.procedure.fields import Id, Quantity, Text
from assistant.procedure.finding import Findings
from assistant.procedure.guess import figures, longest, turns
from assistant.procedure.kinds.kind import StepKind, Use
from assistant.procedure.naming import material, part_name
from assistant.procedure.outline import Outline
from assistant.procedure.step import Step
from assistant.quantities.units import same_dimension

_TURNED = re.compile(r"\b(bolt|nut|screw|stud|fastener|cap ?screw)s?\b", re.I)
_PICTURE = re.compile(r"\b(take|make|attach)\b.*\b(picture|photo(graph)?)s?\b", re.I)


class ActionStep(Step):
    """Place, orient, lubricate, seal; confirmed by voice, once or for each of several parts."""

    changes_parts: ClassVar[bool] = True

    kind: Literal["action"]
    orientation: str = ""
    expect: str = ""  # "you should feel / see ..."
    materials: tuple[Id, ...] = ()
    parts: tuple[Id, ...] = ()
    each: tuple[Text, ...] = ()  # confirmed one by one: "front hose", "rear hose"
    within: Quantity | None = None  # the longest that it may take: locker that sets, a hot ring


class ActionKind(StepKind[ActionStep]):
    """Parts and materials in the builder's hands."""

    kind = "action"
    also_called = ("task", "work", "do")
    model = ActionStep
    hands_on = True
    examples: ClassVar = {"within": "90 s", "each": "front hose", "picture": "The mark on the gear"}

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
        if step.each:
            lines.append("Confirm each: " + ", ".join(step.each) + ".")
        if step.within is not None:
            lines.append(f"LONGEST TIME: {step.within}.")
        return lines

    def check(self, findings: Findings, step: ActionStep) -> None:
        """The longest time is a time; what is confirmed one by one has different names."""
        if step.within is not None:
            if not same_dimension(step.within.unit, "s"):
                findings.error(
                    step, f"'within' {step.within} is not a time; use s, min or h.", "within"
                )
            elif step.within.value <= 0:
                findings.error(step, "'within' is not above zero.", "within")
        if len(set(step.each)) < len(step.each):
            findings.error(step, "'each' has the same name twice; rename one.", "each")
        if len(step.each) == 1:
            findings.warn(step, "One part needs no list; take 'each' out.", "each")

    def start(self, draft: StepDraft) -> None:
        """An action needs no more than its words; figures that it states are for the writer."""
        stated = longest(draft.sentence)
        if stated is not None:
            draft.step["within"] = str(stated)
            draft.todo("within")
        if turns(draft.sentence) and _TURNED.search(draft.sentence):
            draft.todo("a turn by angle is a stage of its tightening: {turn: 90 deg}")
        if any(low.unit in ("degC", "degF") for low, _ in figures(draft.sentence)):
            draft.todo("how the temperature is measured: a measurement with its limits")
        if _PICTURE.search(draft.sentence):
            draft.step["picture"] = "TODO what must be seen"

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
        for name in step.each:
            yield "each", name
