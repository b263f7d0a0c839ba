"""Quantity values as they are spoken and written: number, unit, stated resolution.

Terms after VIM (JCGM 200:2012): an *indication* is what a measuring instrument shows; here it
may also be one-sided ("blade four does not go" shows less than four) or an interval.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from assistant.quantities.units import (
    UNITS,
    UnitError,
    convert,
    convert_difference,
    difference_unit,
)

_MOST_PLACES = 12

EXAMPLE = "0.002 in"
"""The amount that a sentence names where it says how one is written."""
# The number is taken whole, so that "11" cannot be read as 1 of the unit "1".
_AMOUNT = re.compile(r"\s*([+-]?\d+(?:\.\d+)?(?:/\d+)?)(?![\d./])\s*(\S.*?)\s*$")


@dataclass(frozen=True)
class Amount:
    """A quantity value: ``value`` in ``unit``, stated to ``resolution`` (same unit).

    ``1.50 thou`` and ``1.5 thou`` are equal in value but not in resolution. ``resolution`` is
    None for values that are not decimal (1/64) or are exact by definition.
    """

    value: Fraction
    unit: str
    resolution: Fraction | None = None

    def __post_init__(self) -> None:
        if self.unit not in UNITS:
            raise UnitError(f"'{self.unit}' is not a known unit; use one of: {', '.join(UNITS)}.")

    def to(self, unit: str) -> Amount:
        """Return the same quantity value in ``unit``, exactly; the resolution is converted too."""
        if unit == self.unit:
            return self
        scaled = None
        if self.resolution is not None:
            scaled = convert_difference(self.resolution, self.unit, unit)
        return Amount(convert(self.value, self.unit, unit), unit, scaled)

    def difference_to(self, unit: str) -> Fraction:
        """The value in ``unit`` of an amount that is a difference: tolerance, uncertainty."""
        return convert_difference(self.value, self.unit, unit)

    def as_difference(self) -> Amount:
        """An amount that is a difference, in the unit of one: 2 degC wide is 2 delta_degC."""
        return Amount(self.value, difference_unit(self.unit), self.resolution)

    def decimals(self) -> int | None:
        """Decimal places in which the value was stated, or None when it is not a decimal."""
        if self.resolution is None:
            return None
        return _places(self.resolution)

    def decimals_needed(self) -> int | None:
        """Decimal places that write the value exactly; None where 12 do not."""
        return _places(self.value)

    def number(self) -> str:
        """The number as written on paper: ``1.50``, ``-2``, ``0.015625`` for 1/64, ``1/3``."""
        return format_number(self.value, self.decimals())

    def __str__(self) -> str:
        return f"{self.number()} {self.unit}"


def in_tool_unit(amount: Amount, unit: str) -> Amount:
    """``amount`` in the unit of the tool in hand, where that is still a finite decimal."""
    converted = amount.to(unit)
    if (converted.value * 10**6).denominator != 1:
        return amount
    if converted.resolution is not None and (converted.resolution * 10**9).denominator != 1:
        return Amount(converted.value, converted.unit)
    return converted


def places_for(step: Fraction) -> int:
    """The fewest decimal places whose last digit is no coarser than ``step`` (above zero)."""
    places = 0
    while places < _MOST_PLACES and Fraction(1, 10**places) > step:
        places += 1
    return places


def _places(value: Fraction, least: int = 0) -> int | None:
    """How many decimals end ``value``, at least ``least``; None when 12 do not."""
    whole = value.denominator
    for places in range(least, max(12, least) + 1):
        if 10**places % whole == 0:
            return places
    return None


def format_number(value: Fraction, decimals: int | None = None) -> str:
    """Write ``value`` exactly: as a decimal when it ends within 12 places, else as a fraction.

    ``decimals`` pads with zeros; it never rounds digits away.
    """
    places = _places(value, decimals or 0)
    if places is None:
        return f"{value.numerator}/{value.denominator}"
    scaled = value.numerator * (10**places // value.denominator)
    sign = "-" if scaled < 0 else ""
    digits = str(abs(scaled)).rjust(places + 1, "0")
    return sign + (digits if places == 0 else f"{digits[:-places]}.{digits[-places:]}")


def parse_amount(text: str) -> Amount:
    """Parse written text such as ``0.0015 in``, ``14 lbf*ft`` or ``1/64 in``.

    Raises:
        UnitError: the text is not a number followed by a known unit.
    """
    match = _AMOUNT.match(text)
    if match is None:
        raise UnitError(f"'{text}' is not a number followed by a unit, such as '{EXAMPLE}'.")
    number, unit = match.groups()
    if unit not in UNITS:
        raise UnitError(f"'{unit}' is not a known unit; use one of: {', '.join(UNITS)}.")
    if "/" in number:
        top, _, bottom = number.partition("/")
        if int(bottom) == 0:
            raise UnitError(f"'{text}' divides by zero.")
        return Amount(Fraction(Decimal(top)) / int(bottom), unit, None)
    value = Decimal(number)
    exponent = value.as_tuple().exponent
    assert isinstance(exponent, int)
    return Amount(Fraction(value), unit, Fraction(1, 10 ** max(0, -exponent)))


Relation = Literal["eq", "lt", "le", "gt", "ge", "between"]


@dataclass(frozen=True)
class Indication:
    """What the gauge showed: one value, a one-sided bound, or an interval.

    - ``eq`` uses ``amount`` alone.
    - ``lt``, ``le``, ``gt`` and ``ge`` bound the measurand by ``amount``. A blade that goes:
      ``ge``; one that does not go: ``lt``.
    - ``between`` is ``amount <= measurand < upper`` (blade four goes, five does not). With the ends
      the other way round it is ``amount < measurand <= upper`` (a ring of ``upper`` goes, one of
      ``amount`` does not).
    - ``said`` is the amount as the builder said it, where that was in another unit than ``amount``.
    """

    relation: Relation
    amount: Amount
    upper: Amount | None = None
    lower_included: bool = True  # of "between" alone
    upper_included: bool = False
    said: Amount | None = None

    def __post_init__(self) -> None:
        if (self.upper is not None) != (self.relation == "between"):
            raise ValueError("An upper end goes with 'between' and with nothing else.")

    def bounds(self, unit: str) -> tuple[Fraction | None, Fraction | None]:
        """Closed hull of the measurand in ``unit``: (lower, upper), None where unbounded."""
        value = self.amount.to(unit).value
        if self.relation == "eq":
            return value, value
        if self.relation in ("lt", "le"):
            return None, value
        if self.relation in ("gt", "ge"):
            return value, None
        assert self.upper is not None
        return value, self.upper.to(unit).value

    def __str__(self) -> str:
        if self.relation == "between":
            low = "" if self.lower_included else "over "
            high = "" if self.upper_included else "under "
            return f"{low}{self.amount.number()} to {high}{self.upper}"
        sign = {"eq": "", "lt": "< ", "le": "<= ", "gt": "> ", "ge": ">= "}[self.relation]
        return sign + str(self.amount)


def same_value(a: Indication, b: Indication) -> bool:
    """Whether two indications state the same measurand, whatever their units."""
    unit = a.amount.unit
    try:
        return a.relation == b.relation and a.bounds(unit) == b.bounds(unit)
    except ValueError:  # of different dimension
        return False
