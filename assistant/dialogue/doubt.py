"""What the gauge and the step make of a value: what it means, and why it is hard to believe.

Any reason makes the builder say it digit by digit; what there is to doubt in the sound itself is in
``assistant.language.trust``.
"""

from __future__ import annotations

from fractions import Fraction

from assistant.procedure.models import Gauge, MeasurementStep, Procedure
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.intervals import ring_does_not_go, ring_goes


def as_gauged(procedure: Procedure, step: MeasurementStep, heard: Indication) -> Indication:
    """What "goes" and "does not go" mean with the gauge of the step.

    A blade or plug that goes shows its size or more; a ring that goes shows a shaft of its size
    or less.
    """
    if procedure.gauge(step.gauge).kind != "ring_gauge":
        return heard
    if heard.relation == "ge":
        return ring_goes(heard.amount)
    return ring_does_not_go(heard.amount) if heard.relation == "lt" else heard


def in_tool_unit(amount: Amount, unit: str) -> Amount:
    """``amount`` in the unit of the tool in hand, where that is still a finite decimal."""
    converted = amount.to(unit)
    if (converted.value * 10**6).denominator != 1:
        return amount
    if converted.resolution is not None and (converted.resolution * 10**9).denominator != 1:
        return Amount(converted.value, converted.unit)
    return converted


def implausible(
    procedure: Procedure,
    step: MeasurementStep,
    indication: Indication,
    gauge: Gauge | None = None,
) -> str:
    """Why the value is hard to believe of this gauge and step; empty when it is not.

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
