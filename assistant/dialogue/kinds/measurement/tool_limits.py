"""Limits as spoken, in the unit of the tool in hand: never looser than they are written."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

from assistant.procedure.listed import Gauge
from assistant.procedure.models import Procedure
from assistant.procedure.step import GaugedStep
from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits

_FINER = 10  # limits are said to a tenth of what the gauge shows


def limits_for_tool(procedure: Procedure, step: GaugedStep, gauge: Gauge | None = None) -> Limits:
    """The limits of ``step`` as its gauge shows them: the one in hand, or the one called for.

    What is not a finite decimal in the gauge's unit is rounded inward, to a tenth of the gauge's
    resolution; verdicts are made on the exact limits.
    """
    gauge = gauge or procedure.gauge(step.gauge)
    mark = gauge.resolution.difference_to(gauge.unit) / _FINER
    return Limits(
        None if step.lower is None else _shown(step.lower, gauge.unit, mark, up=True),
        None if step.upper is None else _shown(step.upper, gauge.unit, mark, up=False),
    )


def _shown(limit: Amount, unit: str, mark: Fraction, *, up: bool) -> Amount:
    if limit.unit == unit:
        return limit
    value = limit.to(unit).value
    if (value * 10**6).denominator != 1:
        value = (ceil(value / mark) if up else floor(value / mark)) * mark
    return Amount(value, unit)
