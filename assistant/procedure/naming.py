"""What a procedure calls its steps, parts, tools and limits, for sentences about a step."""

from __future__ import annotations

from assistant.procedure.outline import Outline
from assistant.procedure.step import LimitedStep


def titles(procedure: Outline, ids: tuple[str, ...]) -> list[str]:
    """The titles of the steps ``ids``; an unknown id stands for itself."""
    known = {s.id: s.title for s in procedure.steps}
    return [known.get(i, i) for i in ids]


def part_name(procedure: Outline, part: str) -> str:
    """The name of a part; an unknown id stands for itself."""
    return next((p.name for p in procedure.parts if p.id == part), part)


def material(procedure: Outline, consumable: str) -> str:
    """The name of a consumable; an unknown id stands for itself."""
    return next((c.name for c in procedure.consumables if c.id == consumable), consumable)


def tool_name(procedure: Outline, gauge: str) -> str:
    """The name of a gauge or wrench; an unknown id stands for itself."""
    return next((g.name for g in procedure.gauges if g.id == gauge), gauge)


def limits_in_words(step: LimitedStep) -> str:
    """The limits of a step in a sentence."""
    guarded = ", guarded by the uncertainty" if step.rule == "guarded" else ""
    fit = f" ({step.fit})" if step.fit else ""
    return f"LIMITS: {step.limits}{fit}{guarded}."
