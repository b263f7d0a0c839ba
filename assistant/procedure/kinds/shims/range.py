"""How large the gap of a shims step may turn out to be."""

from __future__ import annotations

from fractions import Fraction

from assistant.procedure.step import LimitedStep
from assistant.quantities.units import same_dimension


def ends_of(gap: LimitedStep) -> tuple[Fraction, Fraction] | None:
    """The gaps that may come, in mm: the limits of the gap, else its plausible band."""
    pairs = [(gap.lower, gap.upper)]
    if gap.heard:
        pairs.append((gap.plausible_low, gap.plausible_high))
    for low, high in pairs:
        if low is None or high is None:
            continue
        if not (same_dimension(low.unit, "mm") and same_dimension(high.unit, "mm")):
            continue
        ends = low.to("mm").value, high.to("mm").value
        if ends[0] <= ends[1]:
            return ends
    return None
