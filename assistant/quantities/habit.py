"""Amounts in a second unit: the other system's in the record, the builder's own when spoken.

It always stands beside the amount as stated. Verdicts use the stated amount, exactly.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from assistant.quantities.amount import Amount, format_number

Habit = Literal["inch", "metric"]
"""How a builder thinks."""

OTHER_SYSTEM: dict[str, str] = {
    "in": "mm", "thou": "mm", "tenth": "mm", "mm": "in", "um": "in",
    "lbf*ft": "N*m", "lbf*in": "N*m", "N*m": "lbf*ft",
    "cN*m": "ozf*in", "ozf*in": "cN*m",
    "lbf": "N", "N": "lbf", "kN": "lbf", "psi": "bar", "bar": "psi", "MPa": "psi",
    "degF": "degC", "degC": "degF",
    "delta_degC": "delta_degF", "delta_degF": "delta_degC",
    "degC/min": "degF/min", "degF/min": "degC/min", "degC/h": "degF/h", "degF/h": "degC/h",
}  # fmt: skip
"""The other system's unit for each unit that has one."""

# Lengths alone: a second number beside a torque could be set by mistake.
_THOUGHT_IN: dict[Habit, dict[str, str]] = {
    "inch": {"mm": "thou", "um": "thou"},
    "metric": {"in": "mm", "thou": "mm", "tenth": "um"},
}

_INCHES_FROM = 100
"""Thou from which a length is said in inches: common practice, no source."""
_INCH_PLACES = 4
"""Nobody thinks of inches finer than by the tenth of a thou: common practice, no source."""


def in_habit(amount: Amount, habit: Habit | None) -> Amount | None:
    """A length in the unit that the builder thinks in; None where it is in that already."""
    unit = None if habit is None else _THOUGHT_IN[habit].get(amount.unit)
    if unit == "thou" and abs(amount.to(unit).value) >= _INCHES_FROM:
        unit = "in"
    found = None if unit is None else converted(amount, unit)
    if found is None:
        return None
    # Said without the zeros that a written number keeps: they are not of the tool's reading.
    finest = 10**_INCH_PLACES if unit == "in" else 10**9
    return Amount(Fraction(round(found.value * finest), finest), found.unit)


def converted(amount: Amount, unit: str | None = None) -> Amount | None:
    """``amount`` in the other system's unit, rounded to a tenth of its own resolution.

    The factors are exact; rounding (half to even) happens only where the decimals do not end.
    An amount without resolution is written to a thousandth of itself. None for units without a
    counterpart (angles, times, masses).
    """
    unit = OTHER_SYSTEM.get(amount.unit) if unit is None else unit
    if unit is None:
        return None
    exact = amount.to(unit)
    if exact.resolution:
        finest = abs(exact.resolution) / 10
    else:
        finest = abs(exact.value) / 1000 or Fraction(1)
    places = 0
    while places < 9 and Fraction(1, 10**places) > finest:
        places += 1
    if (exact.value * 10 ** (places + 1)).denominator == 1:
        places += 1  # one digit more ends the number exactly: 0.0381 mm for 1.5 thou
    rounded = Fraction(round(exact.value * 10**places), 10**places)
    if rounded == exact.value:  # zeros would claim a digit that nobody read
        places = len(format_number(rounded).partition(".")[2])
    return Amount(rounded, unit, Fraction(1, 10**places))
