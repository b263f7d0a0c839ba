"""What a stand-in builder reads where nobody measures: a value that might well be read there.

Within the limits, and such that what is computed from it later is within its own limits too, as far
as a value without limits can see to that.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from assistant.dialogue.stand_in import behind
from assistant.procedure.kinds.derived import DerivedStep
from assistant.procedure.listed import Gauge
from assistant.procedure.models import Procedure
from assistant.procedure.places import reference
from assistant.procedure.step import GaugedStep, LimitedStep, Step
from assistant.quantities.amount import Amount
from assistant.quantities.combining import A_DIFFERENCE
from assistant.quantities.formula import FormulaError, evaluate
from assistant.quantities.limits import Limits
from assistant.quantities.units import UnitError

_DEEPEST = 12  # computed values in computed values


def plausible(procedure: Procedure, step: GaugedStep) -> Amount:
    """A value within the limits on a mark of the gauge; without any, one of use to later steps."""
    found = middle(procedure, step)
    if not step.limits.none:
        return found
    gauge = procedure.gauge(step.gauge)
    for later in _computed_from(procedure, step):
        wanted = _solved(procedure, _Unknown(step.id, found, gauge), later)
        if wanted is not None and _possible(step, wanted):
            return wanted
    return found


def at_places(procedure: Procedure, step: GaugedStep) -> list[Amount]:
    """A value for every place of a measurement.

    They differ by a mark, as they do at the bench, where nothing is computed from them and the
    limits leave room; what is computed from all alike stays plain.
    """
    value = plausible(procedure, step)
    used = any(step.id in behind(procedure, later) for later in procedure.steps)
    gauge = procedure.gauge(step.gauge)
    mark = gauge.resolution.difference_to(gauge.unit)
    beside = [Amount(value.value + mark * way, value.unit) for way in (0, 1, 0, -1)]
    room = all(_possible(step, one) and _within(step.limits, one.unit, one.value) for one in beside)
    if used or not room or gauge.members or len(step.places) < 2:
        return [value] * len(step.places)
    return [beside[place % len(beside)] for place in range(len(step.places))]


def middle(procedure: Procedure, step: GaugedStep) -> Amount:
    """The middle of the limits on a mark of the gauge, of the plausible band without them.

    At a single limit it is half the upper one, or a quarter more than the lower.
    """
    gauge = procedure.gauge(step.gauge)
    wanted = _between(step, gauge)
    mark = gauge.resolution.difference_to(gauge.unit)
    value = round(wanted / mark) * mark
    low, high = (_in(a, gauge.unit) for a in (step.lower, step.upper))
    if low is not None and value < low:
        value = ceil(wanted / mark) * mark
    elif high is not None and value > high:
        value = floor(wanted / mark) * mark
    return Amount(value, gauge.unit)


def _between(step: GaugedStep, gauge: Gauge) -> Fraction:
    low, high = (_in(a, gauge.unit) for a in (step.lower, step.upper))
    least, most = (_in(a, gauge.unit) for a in (step.plausible_low, step.plausible_high))
    if low is not None and high is not None:
        return (low + high) / 2
    if high is not None:
        least = Fraction(0) if least is None else least
        return high / 2 if least <= high / 2 <= high else (min(least, high) + high) / 2
    if low is not None:
        more = low + abs(low) / 4
        return more if most is None or more <= most else (low + max(most, low)) / 2
    ends = [end for end in (least, most) if end is not None]
    return sum(ends, Fraction(0)) / 2


def _in(amount: Amount | None, unit: str) -> Fraction | None:
    return None if amount is None else amount.to(unit).value


@dataclass(frozen=True)
class _Unknown:
    """The step whose reading is looked for, a first guess, and the gauge that it is read off."""

    step: str
    guess: Amount
    gauge: Gauge


def _computed_from(procedure: Procedure, step: LimitedStep) -> Iterator[DerivedStep]:
    """The later computed values with limits that a reading goes into, through others too."""
    within = {step.id}
    for later in procedure.steps:
        if not isinstance(later, DerivedStep):
            continue
        if any(reference(source).step in within for source in later.inputs.values()):
            within.add(later.id)
            if not later.limits.none:
                yield later


def _solved(procedure: Procedure, unknown: _Unknown, later: DerivedStep) -> Amount | None:
    """The reading that brings ``later`` within its limits, if it follows in a straight line."""
    unit, mark = unknown.gauge.unit, unknown.gauge.resolution.difference_to(unknown.gauge.unit)

    def at(reading: Fraction) -> Fraction | None:
        known = {unknown.step: Amount(reading, unit)}
        found = _typical(procedure, later, known)
        return None if found is None else found.to(later.unit).value

    start = unknown.guess.value
    here, there = at(start), at(start + mark)
    if here is None or there is None or here == there:
        return None
    goal = _goal(later.limits, later.unit, here)
    steps = round((goal - here) / (there - here))
    reached = at(start + steps * mark)
    if reached is None or not _within(later.limits, later.unit, reached):
        return None
    return Amount(start + steps * mark, unit)


def _goal(limits: Limits, unit: str, now: Fraction) -> Fraction:
    low, high = (_in(a, unit) for a in (limits.lower, limits.upper))
    if low is not None and high is not None:
        return (low + high) / 2
    if _within(limits, unit, now):
        return now
    if high is not None:
        return high / 2 if high > 0 else high
    assert low is not None
    return low + abs(low) / 4


def _within(limits: Limits, unit: str, value: Fraction) -> bool:
    low, high = (_in(a, unit) for a in (limits.lower, limits.upper))
    return (low is None or value >= low) and (high is None or value <= high)


def _possible(step: GaugedStep, value: Amount) -> bool:
    """Whether a reading is within what is plausible at all."""
    low, high = (_in(a, value.unit) for a in (step.plausible_low, step.plausible_high))
    return (low is None or value.value >= low) and (high is None or value.value <= high)


def _typical(
    procedure: Procedure, step: Step, known: Mapping[str, Amount], deep: int = 0
) -> Amount | None:
    """What a step gives where every reading is the plain one, and those ``known`` are as given."""
    if isinstance(step, GaugedStep):
        if step.around is not None:
            return None
        return known.get(step.id) or middle(procedure, step)
    if not isinstance(step, DerivedStep) or deep > _DEEPEST:
        return None
    inputs: dict[str, Amount] = {}
    for name, source in step.inputs.items():
        where, picks = reference(source)
        other = procedure.step(where)
        value = _typical(procedure, other, known, deep + 1)
        if value is None or not isinstance(other, LimitedStep):
            return None
        several = not picks and not step.each and len(other.places_in(procedure)) > 1
        if several and step.combine in A_DIFFERENCE:
            value = Amount(Fraction(0), value.unit).as_difference()  # all places read alike
        inputs[name] = value
    try:
        return evaluate(step.formula, inputs, step.unit)
    except (FormulaError, UnitError):
        return None
