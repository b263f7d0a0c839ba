"""Shims: chosen from a set so that a gap comes within its limits."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import ClassVar

from assistant.procedure.draft import StepDraft
from assistant.procedure.finding import Findings
from assistant.procedure.kinds.kind import StepKind, Use
from assistant.procedure.kinds.shims.checks import check_shims
from assistant.procedure.kinds.shims.model import ShimStep
from assistant.procedure.naming import limits_in_words, titles, tool_name
from assistant.procedure.outline import Outline
from assistant.quantities.limits import Limits

_LIKE = re.compile(
    r"\bshim (the|it|to|up)\b|\b(choose|select|pick|find)\b.*\bshims?\b"
    r"|\bshims? (so that|to bring)\b|\bfill\b.*\bshims?\b",
    re.I,
)


class ShimsKind(StepKind[ShimStep]):
    """A stack of shims for a measured gap."""

    kind = "shims"
    also_called = ("shim", "shim_stack")
    model = ShimStep
    rank = 6
    hands_on = True
    examples: ClassVar = {"gap": "cap_gap", "stock": "shim_set"}
    also_known_as: ClassVar = {"shims": "stock"}

    def figures(self, procedure: Outline, step: ShimStep) -> list[str]:
        """From which set, for which gap, and the limits."""
        way = "to open" if step.effect == "open" else "for"
        gap = titles(procedure, (step.gap,))[0]
        return [
            f"Choose shims from {tool_name(procedure, step.stock)} {way} {gap}, so that the "
            f"{step.quantity} in {step.unit} comes within its limits.",
            limits_in_words(step),
            *_present(procedure, step),
            *_together(procedure, step),
        ]

    def check(self, findings: Findings, step: ShimStep) -> None:
        """Gap, stock, and whether the stock closes the gap."""
        check_shims(findings, step)

    def start(self, draft: StepDraft) -> None:
        """A gap to be named and a set of shims to be listed."""
        draft.measured()
        draft.todo("gap, limits, the shims of the set")
        name = draft.cells.get("gauge", "shim set")
        stock = draft.gauge(name, "shim_set", draft.step["unit"])
        draft.step |= {"gap": "todo_name_a_measurement", "stock": stock}

    def sounds_like(self, sentence: str) -> bool:
        """It tells to choose shims, or to bring a gap to a size with them."""
        return _LIKE.search(sentence) is not None

    def uses(self, step: ShimStep) -> Iterable[Use]:
        """The set of shims."""
        yield Use("gauges", "stock", step.stock)

    def inputs(self, step: ShimStep) -> tuple[str, ...]:
        """The gap."""
        return (step.gap,) if step.present is None else (step.gap, step.present)

    def gauges_in_value(self, step: ShimStep) -> tuple[str, ...]:
        """The set of shims."""
        return (step.stock,)

    def limits(self, step: ShimStep) -> tuple[str, Limits]:
        """Those of the gap that is left."""
        return step.quantity, step.limits


def _together(procedure: Outline, step: ShimStep) -> list[str]:
    if step.together_with is None:
        return []
    other = titles(procedure, (step.together_with,))[0]
    return [f"Chosen together with {other}, out of the same box."]


def _present(procedure: Outline, step: ShimStep) -> list[str]:
    if step.present is None:
        return []
    return [f"The shims of {titles(procedure, (step.present,))[0]} come out."]
