"""Why a value is implausible for its gauge and step.

Any reason makes the builder say it digit by digit. Reasons in the sound itself are in
``assistant.language.trust``.
"""

from __future__ import annotations

from fractions import Fraction

from assistant.procedure.listed import Gauge
from assistant.procedure.models import Procedure
from assistant.procedure.step import GaugedStep
from assistant.quantities.amount import Indication


def implausible(
    procedure: Procedure,
    step: GaugedStep,
    indication: Indication,
    gauge: Gauge | None = None,
) -> str:
    """Why the value is implausible for this gauge and step; empty when it is not.

    ``gauge`` is the one in hand, where that is not the one called for.
    """
    gauge = gauge or procedure.gauge(step.gauge)
    unit = gauge.unit
    value = indication.amount.to(unit).value
    ends = [a.to(unit).value for a in (step.lower, step.upper) if a is not None]
    high = step.plausible_high.to(unit).value if step.plausible_high else None
    low = step.plausible_low.to(unit).value if step.plausible_low else None
    if high is None and ends:
        high = max(abs(e) for e in ends) * 10
    if low is None and ends and min(ends) >= 0:
        low = Fraction(0)
    if (high is not None and value > high) or (low is not None and value < low):
        return "implausible"
    if gauge.lower is not None and value < gauge.lower.to(unit).value:
        return "gauge_range"
    if gauge.upper is not None and value > gauge.upper.to(unit).value:
        return "gauge_range"
    mark = gauge.resolution.difference_to(unit)
    if indication.relation == "eq" and (value / mark).denominator != 1:
        return "too_fine"
    if indication.amount.unit != unit:
        return "other_unit"
    return ""
