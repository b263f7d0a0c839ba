"""A shims step: the gap it closes, the stock it draws on, and whether it can be done at all."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from assistant.procedure.finding import Findings, suggestion
from assistant.procedure.kinds.shims.model import ShimStep
from assistant.procedure.kinds.shims.range import ends_of
from assistant.procedure.kinds.shims.together import check_together
from assistant.procedure.listed import Gauge
from assistant.procedure.step import LimitedStep
from assistant.quantities.amount import Amount
from assistant.quantities.units import same_dimension
from assistant.shown_text import id_in_words

_MOST_TOTALS = 20_000  # beyond this the search is left to the bench


def check_shims(findings: Findings, step: ShimStep) -> None:
    """Check one shims step."""
    gap = _check_gap(findings, step)
    stock = _check_stock(findings, step)
    check_together(findings, step, stock)
    if step.present is not None:
        _check_present(findings, step, step.present)
        return
    if _check_limits(findings, step) and gap is not None and stock is not None:
        _check_reach(findings, step, gap, stock)


def _check_gap(findings: Findings, step: ShimStep) -> LimitedStep | None:
    steps = findings.procedure.steps
    other = next((s for s in steps if s.id == step.gap), None)
    if other is None:
        known = [s.id for s in steps if isinstance(s, LimitedStep) and s is not step]
        hint = suggestion(step.gap, known, "measurements")
        findings.error(step, f"The gap '{step.gap}' is not a step; {hint}", "gap")
    elif not isinstance(other, LimitedStep):
        findings.error(
            step, f"The gap '{step.gap}' is a step of kind {other.kind} without a value.", "gap"
        )
    elif steps.index(other) >= steps.index(step):
        findings.error(step, f"The gap '{step.gap}' comes no earlier than this step.", "gap")
    elif not same_dimension(other.unit, "mm"):
        findings.error(
            step, f"The gap '{step.gap}' is measured in {other.unit}, which is not a length.", "gap"
        )
    else:
        if other.when is not None and other.when != step.when:
            findings.warn(
                step,
                f"The gap '{step.gap}' may be left out; give this step the same condition.",
                "gap",
            )
        return other
    return None


def _check_present(findings: Findings, step: ShimStep, present: str) -> None:
    _check_limits(findings, step)
    steps = findings.procedure.steps
    earlier = steps[: steps.index(step)]
    other = next((s for s in earlier if s.id == present), None)
    if not isinstance(other, LimitedStep) or not same_dimension(other.unit, "mm"):
        known = [
            s.id for s in earlier if isinstance(s, LimitedStep) and same_dimension(s.unit, "mm")
        ]
        findings.error(
            step,
            f"'{present}' is not an earlier thickness; {suggestion(present, known, 'lengths')}",
            "present",
        )


def _check_stock(findings: Findings, step: ShimStep) -> Gauge | None:
    stock = next((g for g in findings.procedure.gauges if g.id == step.stock), None)
    if stock is None:
        return None  # told with the references
    if stock.kind != "shim_set":
        findings.error(
            step,
            f"The stock '{stock.id}' is a {id_in_words(stock.kind)}, not a shim set.",
            "stock",
        )
    elif not stock.members:
        findings.error(
            step, f"The shim set '{stock.id}' lists no shims; give them as 'members'.", "stock"
        )
    elif any(not same_dimension(m.unit, "mm") for m in stock.members):
        if same_dimension(stock.unit, "mm"):
            return None  # told of the gauge itself
        findings.error(step, f"The shims of '{stock.id}' are not lengths; use mm or thou.", "stock")
    elif any(m.value <= 0 for m in stock.members):
        findings.error(
            step, f"A shim of '{stock.id}' has no thickness; correct its members.", "stock"
        )
    else:
        return stock
    return None


def _check_limits(findings: Findings, step: ShimStep) -> bool:
    """Whether both limits are there and usable; what else is wrong is reported with the limits."""
    if not same_dimension(step.unit, "mm"):
        findings.error(step, f"Shims close a gap in a length, not in {step.unit}.", "unit")
        return False
    if step.lower is None or step.upper is None:
        findings.error(
            step,
            "Shims are chosen to the middle of two limits; give 'lower' and 'upper'.",
            "upper" if step.upper is not None else "lower",
        )
        return False
    return (
        same_dimension(step.lower.unit, "mm")
        and same_dimension(step.upper.unit, "mm")
        and step.lower.to("mm").value <= step.upper.to("mm").value
    )


def _check_reach(findings: Findings, step: ShimStep, gap: LimitedStep, stock: Gauge) -> None:
    """Whether the stock closes every gap that the gap's own limits let through."""
    assert step.lower is not None
    assert step.upper is not None
    ends = ends_of(gap)
    if ends is None:
        return
    low, high = step.lower.to("mm").value, step.upper.to("mm").value
    way = -1 if step.effect == "open" else 1
    most = high - ends[0] if step.effect == "open" else ends[1] - low
    totals = _totals([m.to("mm").value for m in stock.members], most)
    if totals is None:
        return
    # a stack of thickness t closes the gaps from t + low to t + high, or opens those less t
    brought = sorted((low + way * t, high + way * t) for t in totals)
    closed = [(a, b) for a, b in brought if b >= ends[0] and a <= ends[1]]
    if not closed:
        findings.warn(
            step,
            f"The shims of '{stock.id}' bring no gap of '{gap.id}' to {step.limits}, however it "
            "is measured; check the set and the limits.",
            "stock",
        )
        return
    hole = _hole(closed, *ends)
    if hole is not None:
        at = Amount(hole, "mm").to(step.unit)
        findings.warn(
            step,
            f"A gap of about {float(at.value):.4g} {step.unit} is possible at '{gap.id}', and no "
            f"stack of '{stock.id}' brings it to {step.limits}; add shims or narrow the gap.",
            "stock",
        )


def _totals(shims: Iterable[Fraction], most: Fraction) -> list[Fraction] | None:
    """Every thickness up to ``most`` that the shims give, rising; None when there are too many."""
    found = {Fraction(0)}
    for shim in shims:
        found |= {t + shim for t in found if t + shim <= most}
        if len(found) > _MOST_TOTALS:
            return None
    return sorted(found)


def _hole(
    closed: list[tuple[Fraction, Fraction]], start: Fraction, end: Fraction
) -> Fraction | None:
    """The middle of the first gap between ``start`` and ``end`` that nothing closes."""
    reached = start
    for low, high in closed:
        if low > reached:
            return (reached + low) / 2
        reached = max(reached, high)
    return (reached + end) / 2 if reached < end else None
