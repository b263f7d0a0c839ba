"""The one value taken from a finished log: its last, its highest, how much or how fast it rose.

The times are those of the readings, by the clock that nobody can set where that is known.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from assistant.dialogue.state import State
from assistant.procedure.kinds.log import LogStep
from assistant.procedure.kinds.log.model import TAKEN
from assistant.quantities.amount import Amount
from assistant.quantities.propagation import (
    Estimate,
    UncertaintySource,
    reading_estimate,
    weighted,
)
from assistant.quantities.units import RATE_OF, difference_unit


@dataclass(frozen=True)
class _Read:
    """What was read ``seconds`` after the log began, in ``row``."""

    row: int
    seconds: Fraction
    value: Estimate


def logged(state: State, step: LogStep, picks: Sequence[str]) -> Estimate | None:
    """The value of the log that ``picks`` name, as ``front bearing`` and ``last``.

    None while the log is not done, where a reading is no single value, where the first row was
    missed for what starts from it, and of a rate where the clock was lost between the rows.
    """
    done = state.outcomes.get(step.id) == "done"
    return at_end(state, step, picks) if done else None


def at_end(state: State, step: LogStep, picks: Sequence[str]) -> Estimate | None:
    """As :func:`logged`, of a log that is just over."""
    taken = step.taken(picks)
    if taken is None:
        return None
    which, what = taken
    read = _read(state, step, which)
    if not read:
        return None
    match what:
        case "last":
            return read[-1].value
        case "highest":
            return max((r.value for r in read), key=lambda v: v.amount.value)
        case "lowest":
            return min((r.value for r in read), key=lambda v: v.amount.value)
        case "rate":
            run = state.logs.get(step.id)
            untimed = () if run is None else run.untimed
            if any(read[0].row < row <= read[-1].row for row in untimed):
                return None
            return _fastest(read, step.readings[which].unit)
    if read[0].row != 0:
        return None
    return read[0].value if what == "first" else _difference(read[0].value, read[-1].value)


def _read(state: State, step: LogStep, which: int) -> list[_Read]:
    """All readings of one quantity, in the unit of the first; none where one is a bound."""
    have, places = state.values.get(step.id, {}), step.places
    found: list[_Read] = []
    for row in range(step.furthest + 1):
        place = places[step.asked(row)[which]]
        value = have.get(place)
        if value is None:
            continue
        if value.indication.relation != "eq":
            return []
        gauge = value.tool or step.at(place).gauge
        estimate = reading_estimate(
            value.indication.amount,
            UncertaintySource(gauge, f"{step.id} {place}"),
            value.uncertainty,
            value.graduation,
        )
        unit = found[0].value.amount.unit if found else estimate.amount.unit
        due = step.every.to("s").value * (row + step.first)
        found.append(_Read(row, due + Fraction(value.behind_ms, 1000), estimate.to(unit)))
    return found


def _difference(one: Estimate, other: Estimate) -> Estimate:
    unit = difference_unit(one.amount.unit)
    steps = [s for s in (one.step, other.step) if s]
    return Estimate(
        Amount(other.amount.value - one.amount.value, unit),
        weighted([(Fraction(-1), one.parts), (Fraction(1), other.parts)]),
        min(steps, default=None),
    )


def _fastest(read: Sequence[_Read], unit: str) -> Estimate | None:
    """The fastest rise from one reading in ``unit`` to the next; None of a single reading."""
    rates: list[Estimate] = []
    for one, other in pairwise(read):
        minutes = (other.seconds - one.seconds) / 60
        if minutes <= 0:
            continue
        rise = _difference(one.value.to(unit), other.value.to(unit))
        rates.append(
            Estimate(
                Amount(rise.amount.value / minutes, RATE_OF[unit]),
                weighted([(1 / minutes, rise.parts)]),
                None if rise.step is None else rise.step / minutes,
            )
        )
    return max(rates, key=lambda rate: rate.amount.value, default=None)


def all_at_end(state: State, step: LogStep) -> dict[str, Amount]:
    """Every value that a condition may ask of, by its words: ``front bearing.last``."""
    found: dict[str, Amount] = {}
    for one in step.readings:
        for what in TAKEN:
            value = at_end(state, step, (one.quantity, what))
            if value is not None:
                found[f"{one.quantity}.{what}"] = value.amount
                found |= {what: value.amount} if len(step.readings) == 1 else {}
    return found
