"""The reference library pint over Fraction, with our unit codes: it stands beside our own table."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Any

from tests.lazily import Lazily

pint = Lazily("pint")


@cache
def registry() -> Any:
    """The library's units, with one that it has not; they take a second to read."""
    units = pint.UnitRegistry(non_int_type=Fraction)
    # common practice, no source: a machinist's "tenth" is a tenth of a thou
    units.define("machinist_tenth = inch / 10000")
    return units


PINT: dict[str, str] = {
    "in": "inch",
    "thou": "milliinch",
    "tenth": "machinist_tenth",
    "mm": "millimeter",
    "um": "micrometer",
    "N*m": "newton * meter",
    "lbf*ft": "force_pound * foot",
    "lbf*in": "force_pound * inch",
    "cN*m": "centinewton * meter",
    "ozf*in": "force_ounce * inch",
    "deg": "degree",
    "degC": "degree_Celsius",
    "degF": "degree_Fahrenheit",
    "delta_degC": "delta_degree_Celsius",
    "delta_degF": "delta_degree_Fahrenheit",
    "min": "minute",
    "h": "hour",
    "s": "second",
    "N": "newton",
    "kN": "kilonewton",
    "lbf": "force_pound",
    "kg": "kilogram",
    "g": "gram",
    "bar": "bar",
    "MPa": "megapascal",
    "psi": "force_pound / inch ** 2",
    "rpm": "revolution / minute",
    "l": "liter",
    "ml": "milliliter",
    "l/min": "liter / minute",
    "degC/min": "delta_degree_Celsius / minute",
    "degC/h": "delta_degree_Celsius / hour",
    "degF/min": "delta_degree_Fahrenheit / minute",
    "degF/h": "delta_degree_Fahrenheit / hour",
    "mm/m": "millimeter / meter",
    "1": "dimensionless",
}
"""Our unit code -> pint expression."""
