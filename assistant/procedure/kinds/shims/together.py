"""Two stacks chosen together: out of one box, with both gaps known before the first."""

from __future__ import annotations

from collections import Counter

from assistant.procedure.finding import Findings, suggestion
from assistant.procedure.kinds.shims.model import ShimStep
from assistant.procedure.kinds.shims.range import ends_of
from assistant.procedure.listed import Gauge
from assistant.procedure.step import LimitedStep
from assistant.quantities.amount import Amount
from assistant.quantities.shim_pair import ShimSide, choose_pair
from assistant.quantities.shims import ShimGap, ShimStack, ShimStock, choose_shims


def check_together(findings: Findings, step: ShimStep, stock: Gauge | None) -> None:
    """The other step comes later, takes from the same box, and its gap is known by now."""
    if step.together_with is None:
        return
    where = "together_with"
    steps = findings.procedure.steps
    later = [s for s in steps[steps.index(step) + 1 :] if isinstance(s, ShimStep)]
    other = next((s for s in later if s.id == step.together_with), None)
    if other is None:
        hint = suggestion(step.together_with, [s.id for s in later], "later shims")
        findings.error(step, f"'{step.together_with}' is not a later step of shims; {hint}", where)
        return
    named = [s.id for s in steps if isinstance(s, ShimStep) and s.together_with == other.id]
    if other.together_with is not None or len(named) > 1:
        findings.error(
            step, f"'{other.id}' is already chosen together with another step; pair it once.", where
        )
        return
    if other.stock != step.stock:
        findings.error(
            step,
            f"'{other.id}' takes its shims from '{other.stock}', not from '{step.stock}'; choose "
            "each by itself, or name one box in both.",
            where,
        )
        return
    earlier = {s.id for s in steps[: steps.index(step)]}
    for name in (other.gap, other.present):
        if name is not None and name not in earlier and any(s.id == name for s in steps):
            findings.error(
                step,
                f"'{name}', which '{other.id}' needs, comes no earlier than this step, so both "
                "cannot be chosen together; measure it first.",
                where,
            )
            return
    if other.when != step.when:
        findings.warn(step, f"'{other.id}' has another condition; give both steps the same.", where)
    if stock is not None:
        _try_middle(findings, step, other, stock)


def _try_middle(findings: Findings, step: ShimStep, other: ShimStep, stock: Gauge) -> None:
    """Whether the box gives both stacks at the middle of both gaps, where it gives either."""
    one, two = _middle(findings, step), _middle(findings, other)
    if one is None or two is None:
        return
    box = tuple(ShimStock(size, count) for size, count in Counter(stock.members).items())
    if not all(isinstance(choose_shims(s.gap, s.limits, box), ShimStack) for s in (one, two)):
        return  # told of the gap by itself
    if not isinstance(choose_pair(one, two, box), tuple):
        findings.warn(
            step,
            f"The shims of '{stock.id}' do for this step or for '{other.id}' at the middle of "
            "their gaps, but not for both at once; add shims.",
            "together_with",
        )


def _middle(findings: Findings, step: ShimStep) -> ShimSide | None:
    gap = next((s for s in findings.procedure.steps if s.id == step.gap), None)
    ends = ends_of(gap) if isinstance(gap, LimitedStep) else None
    if ends is None or step.present is not None or step.misfits():
        return None
    if step.lower is None or step.upper is None:
        return None
    middle = Amount((ends[0] + ends[1]) / 2, "mm")
    return ShimSide(ShimGap(middle, opens=step.effect == "open"), step.limits)
