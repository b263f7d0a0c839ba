"""Several readings of one step as a single value, with its uncertainty."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

from assistant.quantities.amount import Amount
from assistant.quantities.propagation import Estimate, Parts, weighted
from assistant.quantities.repeated import (
    runout_from_quarter_turns,
    runout_from_stops,
    sine_wave,
)
from assistant.quantities.roots import square_root
from assistant.quantities.trigonometry import cosine, sine
from assistant.quantities.units import difference_unit

Combine = Literal["mean", "max", "min", "range", "quarter_turns", "stops"]
"""How readings at several positions become one; ``quarter_turns`` takes four of them,
``stops`` four or more, equally spaced round one turn."""

A_DIFFERENCE = ("range", "quarter_turns", "stops")
"""Ways that give a difference of readings."""


def enough(how: str, count: int) -> bool:
    """Whether so many readings can be combined so."""
    return {"quarter_turns": count == 4, "stops": count >= 4}.get(how, count > 0)


def combined(readings: Sequence[Estimate], how: str) -> Estimate:
    """The readings as one, in the unit of the first (of a difference for a range).

    Raises:
        ValueError: ``quarter_turns`` without exactly four readings, ``stops`` with fewer.
    """
    unit = readings[0].amount.unit
    same = [r.to(unit) for r in readings]
    values = [r.amount.value for r in same]
    steps = [abs(r.step) for r in same if r.step]
    step = min(steps, default=None)
    match how:
        case "max":
            return max(same, key=lambda r: r.amount.value)
        case "min":
            return min(same, key=lambda r: r.amount.value)
        case "mean":
            share = Fraction(1, len(same))
            value = sum(values, Fraction(0)) * share
            return Estimate(Amount(value, unit), _parts(same, [share] * len(same)), step)
        case "range":
            # of readings all alike two different ones, so that their uncertainty is in it
            top = values.index(max(values))
            low = len(values) - 1 - values[::-1].index(min(values))
            factors = [Fraction((i == top) - (i == low)) for i in range(len(same))]
            spread = Amount(values[top] - values[low], difference_unit(unit))
            return Estimate(spread, _parts(same, factors), step)
        case "quarter_turns":
            tir = runout_from_quarter_turns([r.amount for r in same]).as_difference()
            across = (values[0] - values[2], values[1] - values[3])
            a, b = (d / tir.value if tir.value else Fraction(1) for d in across)
            return Estimate(tir, _parts(same, [a, b, -a, -b]), step)
        case "stops":
            return Estimate(
                runout_from_stops([r.amount for r in same]).as_difference(),
                _parts(same, _of_wave(values)),
                step,
            )
    raise ValueError(f"'{how}' is not a way to combine readings.")


def _of_wave(values: Sequence[Fraction]) -> list[Fraction]:
    """How far the runout follows each stop; at no runout as far as it can."""
    a, b = sine_wave(values)
    amplitude, count = square_root(a * a + b * b), len(values)
    if amplitude == 0:
        return [Fraction(4, count)] * count
    angles = [Fraction(360 * i, count) for i in range(count)]
    return [Fraction(4, count) * (a * cosine(t) + b * sine(t)) / amplitude for t in angles]


def _parts(readings: Sequence[Estimate], factors: Sequence[Fraction]) -> Parts | None:
    return weighted((f, r.parts) for f, r in zip(factors, readings, strict=True))


def unit_of(unit: str, how: str) -> str:
    """The unit of readings in ``unit`` once combined."""
    return difference_unit(unit) if how in A_DIFFERENCE else unit
