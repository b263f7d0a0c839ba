"""Whether the values of a log have settled: by how much they changed over a time."""

from __future__ import annotations

from datetime import datetime, timedelta
from fractions import Fraction

from assistant.dialogue.state import State, Value
from assistant.procedure.kinds.log import LogStep
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.units import difference_unit


def change(state: State, step: LogStep, row: int) -> Amount | None:
    """The most that any watched value changed by over the time of ``settled`` up to ``row``.

    In the unit of ``within``. None where the time is not covered: a row of it was missed, or its
    readings lie closer together than that, or one is no single value.
    """
    read = [_read(state, step, which, row) for which in step.watched()]
    if not read or not all(_covers(step, values) for values in read):
        return None
    return _widest(step, read)


def settled(state: State, step: LogStep, row: int) -> bool:
    """Whether they have at ``row``."""
    assert step.settled is not None
    found = change(state, step, row)
    return found is not None and found.value <= step.settled.within.value


def seen_change(state: State, step: LogStep, row: int) -> Indication:
    """By how much they changed; at least by what is known, where the time is not covered."""
    found = change(state, step, row)
    if found is not None:
        return Indication("eq", found)
    read = [_read(state, step, which, row) for which in step.watched()]
    return Indication("ge", _widest(step, read))


def _read(state: State, step: LogStep, which: int, row: int) -> list[Value]:
    """The single values of one quantity that were read over the time up to ``row``."""
    assert step.settled is not None
    places, have = step.places, state.values.get(step.id, {})
    rows = range(max(0, row - step.intervals(step.settled.over)), row + 1)
    found = [have.get(places[step.asked(r)[which]]) for r in rows]
    return [v for v in found if v is not None and v.indication.relation == "eq"]


def _covers(step: LogStep, read: list[Value]) -> bool:
    assert step.settled is not None
    if len(read) < step.intervals(step.settled.over) + 1:
        return False
    span = datetime.fromisoformat(read[-1].read_at) - datetime.fromisoformat(read[0].read_at)
    least = step.settled.over.to("s").value - step.late_s
    return span >= timedelta(microseconds=int(least * 1_000_000))


def _widest(step: LogStep, read: list[list[Value]]) -> Amount:
    assert step.settled is not None
    unit = step.settled.within.unit
    return Amount(
        max((_width(values, unit) for values in read if values), default=Fraction()), unit
    )


def _width(read: list[Value], unit: str) -> Fraction:
    """The largest less the smallest, as a difference in ``unit``."""
    own = read[0].indication.amount.unit
    sizes = [value.indication.amount.to(own).value for value in read]
    return Amount(max(sizes) - min(sizes), difference_unit(own)).difference_to(unit)
