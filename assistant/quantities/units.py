"""Unit codes that the trade says aloud, tied to one exact pint registry.

Magnitudes are ``fractions.Fraction`` throughout: an inch is 25.4 mm and a pound-force is
0.45359237 kg x 9.80665 m/s2 by definition (NIST SP 811 Appendix B), so every conversion
between the units below is exact and a limit is never missed by a binary rounding.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from pathlib import Path

import pint

registry: pint.UnitRegistry[Fraction] = pint.UnitRegistry(
    Path(__file__).with_name("definitions.txt"), non_int_type=Fraction
)

# Our unit code -> pint expression. Codes are what procedures write and records show.
UNITS: dict[str, str] = {
    "in": "inch",
    "thou": "milliinch",
    "tenth": "machinist_tenth",
    "mm": "millimeter",
    "um": "micrometer",
    "N*m": "newton * meter",
    "lbf*ft": "force_pound * foot",
    "lbf*in": "force_pound * inch",
    "deg": "degree",
    "degC": "degree_Celsius",
    "degF": "degree_Fahrenheit",
    "min": "minute",
    "h": "hour",
    "s": "second",
    "N": "newton",
    "lbf": "force_pound",
    "kg": "kilogram",
    "bar": "bar",
    "psi": "force_pound / inch ** 2",
    "1": "dimensionless",
}


class UnitError(ValueError):
    """An unknown unit code, or two units of different dimension."""


def _pint(code: str) -> str:
    try:
        return UNITS[code]
    except KeyError:
        known = ", ".join(UNITS)
        raise UnitError(f"Unknown unit '{code}'; use one of: {known}.") from None


@lru_cache(maxsize=1024)
def powers(code: str) -> tuple[tuple[str, int], ...]:
    """Return the base dimensions of unit ``code`` with their powers, sorted by name.

    An angle counts as a dimension of its own: the SI calls it a plain number, but a turn of
    60 degrees must never pass for a number of blades.
    """
    if code == "deg":
        return (("[angle]", 1),)
    found = registry.Quantity(Fraction(1), _pint(code)).dimensionality
    return tuple(sorted((str(name), int(str(power))) for name, power in found.items()))


@lru_cache(maxsize=1024)
def dimension(code: str) -> str:
    """Return the dimension of unit ``code`` as a canonical string, e.g. ``[length]^1``."""
    # pint's own formatter cannot print Fraction exponents
    return " ".join(f"{name}^{power}" for name, power in powers(code))


@lru_cache(maxsize=1024)
def scale(code: str) -> Fraction:
    """Return how many SI base units one *difference* of unit ``code`` is, exactly.

    A degree of angle counts as one, since it has a dimension of its own (see :func:`powers`).
    """
    if code == "deg":
        return Fraction(1)
    unit = registry.Unit(_pint(code))
    one = registry.Quantity(Fraction(1), unit).to_base_units().magnitude
    zero = registry.Quantity(Fraction(0), unit).to_base_units().magnitude
    return Fraction(one) - Fraction(zero)


def same_dimension(a: str, b: str) -> bool:
    """Tell whether unit codes ``a`` and ``b`` measure the same dimension."""
    return dimension(a) == dimension(b)


@lru_cache(maxsize=4096)
def convert(value: Fraction, source: str, target: str) -> Fraction:
    """Convert ``value`` exactly from unit code ``source`` to unit code ``target``.

    Raises:
        UnitError: either code is unknown or their dimensions differ.
    """
    if source == target:
        return value
    if not same_dimension(source, target):
        raise UnitError(f"'{source}' and '{target}' are different kinds of quantity.")
    quantity = registry.Quantity(value, registry.Unit(_pint(source)))
    return Fraction(quantity.to(registry.Unit(_pint(target))).magnitude)


def convert_difference(value: Fraction, source: str, target: str) -> Fraction:
    """Convert a difference, such as a tolerance or an uncertainty, exactly.

    It differs from :func:`convert` for temperatures alone: 5 degC more is 9 degF more, although
    a thermometer at 5 degC shows 41 degF.

    Raises:
        UnitError: either code is unknown or their dimensions differ.
    """
    return convert(value, source, target) - convert(Fraction(0), source, target)
