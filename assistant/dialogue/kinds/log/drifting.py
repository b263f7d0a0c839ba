"""The rows of a log as a stand-in builder reads them: they rise, and settle as they should.

Every row takes half of what is left to the end, as what warms up does, and no two rows in
succession are alike: a check for settling would show nothing otherwise.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from assistant.dialogue.kinds.measurement.plausible import middle
from assistant.procedure.kinds.log import LogStep
from assistant.procedure.kinds.log.model import LoggedValue
from assistant.procedure.models import Procedure
from assistant.quantities.amount import Amount
from assistant.quantities.propagation import suits
from assistant.quantities.units import difference_unit

_ROOM = Amount(Fraction(20), "degC")
"""What stands still is no colder than the shop: the reference temperature (ISO 1)."""

_TEMPERATURES = ("degC", "degF")


def drifting(procedure: Procedure, step: LogStep, one: LoggedValue) -> Iterator[Amount]:
    """A value for every row, on a mark of the gauge and within the limits."""
    gauge = procedure.gauge(one.gauge)
    unit, mark = gauge.unit, gauge.resolution.difference_to(gauge.unit)
    end, within = middle(procedure, step.value(one)), _within(step, unit)
    below = _below(step, one, end, mark)
    before: Fraction | None = None
    for row in range(step.furthest + 1):
        now = round((end.value - below / 2**row) / mark) * mark
        if now == before and (within is None or within >= mark):
            now += mark if now + mark <= end.value else -mark
            now = _inside(now, mark, one, unit)
        before = now
        yield Amount(now, unit)


def _below(step: LogStep, one: LoggedValue, end: Amount, mark: Fraction) -> Fraction:
    """How far below its end the first row is: a quarter of the band, less where it must settle."""
    unit = end.unit
    ends = [a.to(unit).value for a in (one.lower, one.plausible_low) if a is not None]
    below = (end.value - min(ends[0] if ends else Fraction(0), end.value)) / 4
    if unit in _TEMPERATURES and end.value > _ROOM.to(unit).value:
        below = min(below, end.value - _ROOM.to(unit).value)
    within = _within(step, unit)
    if within is None or step.settled is None:
        return below
    first = max(0, step.planned - step.intervals(step.settled.over))
    share = Fraction(1, 2**first) - Fraction(1, 2**step.planned)
    return min(below, max(Fraction(0), within - mark) / share) if share > 0 else below


def _within(step: LogStep, unit: str) -> Fraction | None:
    """By how much the values may still change once they have settled; None where nothing asks."""
    if step.settled is None or not suits(step.settled.within.unit, unit):
        return None
    return step.settled.within.difference_to(difference_unit(unit))


def _inside(value: Fraction, mark: Fraction, one: LoggedValue, unit: str) -> Fraction:
    """``value``, or two marks higher where it is under the lower limit and there is room."""
    if one.lower is None or value >= one.lower.to(unit).value:
        return value
    higher = value + 2 * mark
    fits = one.upper is None or higher <= one.upper.to(unit).value
    return higher if fits else value + mark
