"""Unit codes that the trade says aloud, each with what it is in SI base units, exactly.

Magnitudes are ``fractions.Fraction`` throughout. An inch is 25.4 mm and a pound-force is
0.45359237 kg x 9.80665 m/s2 by definition, and an ounce is a sixteenth of a pound (NIST SP 811
Appendix B). So every conversion between the
units below is exact, and no limit is missed by a binary rounding.

The tests hold this table against the library pint, which reads a thousand units and takes longer
to load than a whole procedure.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache

Powers = tuple[tuple[str, int], ...]
"""Base dimensions with their powers, sorted by name."""


@dataclass(frozen=True)
class Unit:
    """``scale`` SI base units each; where it shows 0, the quantity is ``zero`` SI base units."""

    powers: Powers
    scale: Fraction
    zero: Fraction = Fraction(0)


def _unit(powers: Powers, scale: str | Fraction, zero: str | Fraction = "0") -> Unit:
    return Unit(powers, Fraction(scale), Fraction(zero))


_PLAIN: Powers = ()
_LENGTH: Powers = (("[length]", 1),)
_TIME: Powers = (("[time]", 1),)
_MASS: Powers = (("[mass]", 1),)
_TEMPERATURE: Powers = (("[temperature]", 1),)
# A difference of temperatures is not a temperature: 2 degrees warmer must never pass for 2 degrees.
_DIFFERENCE: Powers = (("[temperature difference]", 1),)
# The SI calls an angle a plain number, but a turn of 60 degrees must never pass for a number of
# blades. So an angle is a dimension of its own here, counted in degrees.
_ANGLE: Powers = (("[angle]", 1),)
_SPEED: Powers = (("[angle]", 1), ("[time]", -1))
_VOLUME: Powers = (("[length]", 3),)
_FLOW: Powers = (("[length]", 3), ("[time]", -1))
# How fast a temperature rises is a difference of temperatures in a time, never a temperature.
_WARMING: Powers = (("[temperature difference]", 1), ("[time]", -1))
_FORCE: Powers = (("[length]", 1), ("[mass]", 1), ("[time]", -2))
_TORQUE: Powers = (("[length]", 2), ("[mass]", 1), ("[time]", -2))
_PRESSURE: Powers = (("[length]", -1), ("[mass]", 1), ("[time]", -2))

# Inch, pound, pound-force, Fahrenheit: NIST SP 811 (2008), Appendix B.
_INCH = Fraction("0.0254")
_POUND_FORCE = Fraction("0.45359237") * Fraction("9.80665")

# Codes are what procedures write and records show.
UNITS: dict[str, Unit] = {
    "in": _unit(_LENGTH, _INCH),
    "thou": _unit(_LENGTH, _INCH / 1000),
    # common practice, no source: a machinist's "tenth" is a tenth of a thou
    "tenth": _unit(_LENGTH, _INCH / 10000),
    "mm": _unit(_LENGTH, "0.001"),
    "um": _unit(_LENGTH, "0.000001"),
    "N*m": _unit(_TORQUE, "1"),
    "lbf*ft": _unit(_TORQUE, _POUND_FORCE * 12 * _INCH),
    "lbf*in": _unit(_TORQUE, _POUND_FORCE * _INCH),
    "cN*m": _unit(_TORQUE, "0.01"),
    "ozf*in": _unit(_TORQUE, _POUND_FORCE / 16 * _INCH),
    "deg": _unit(_ANGLE, "1"),
    "degC": _unit(_TEMPERATURE, "1", "273.15"),
    "degF": _unit(_TEMPERATURE, "5/9", Fraction("459.67") * Fraction(5, 9)),
    "delta_degC": _unit(_DIFFERENCE, "1"),
    "delta_degF": _unit(_DIFFERENCE, "5/9"),
    "min": _unit(_TIME, "60"),
    "h": _unit(_TIME, "3600"),
    "s": _unit(_TIME, "1"),
    "N": _unit(_FORCE, "1"),
    "kN": _unit(_FORCE, "1000"),
    "lbf": _unit(_FORCE, _POUND_FORCE),
    "kg": _unit(_MASS, "1"),
    "g": _unit(_MASS, "0.001"),
    "bar": _unit(_PRESSURE, "100000"),
    "MPa": _unit(_PRESSURE, "1000000"),
    "psi": _unit(_PRESSURE, _POUND_FORCE / _INCH**2),
    "rpm": _unit(_SPEED, "6"),  # 360 degrees in 60 seconds
    "l": _unit(_VOLUME, "0.001"),
    "ml": _unit(_VOLUME, "0.000001"),
    "l/min": _unit(_FLOW, "1/60000"),
    "degC/min": _unit(_WARMING, "1/60"),
    "degC/h": _unit(_WARMING, "1/3600"),
    "degF/min": _unit(_WARMING, "1/108"),  # 5/9 of a degree Celsius, a sixtieth of it a second
    "degF/h": _unit(_WARMING, "1/6480"),
    "mm/m": _unit(_PLAIN, "0.001"),
    "1": _unit(_PLAIN, "1"),
}


DIFFERENCE_OF: dict[str, str] = {"degC": "delta_degC", "degF": "delta_degF"}
"""The unit of a difference, where that is not the unit of the value itself: 5 degC above 20 degC
is 5 delta_degC, which is 9 delta_degF, although a thermometer at 5 degC shows 41 degF."""


RATE_OF: dict[str, str] = {"degC": "degC/min", "degF": "degF/min", "l": "l/min"}
"""The unit in which a value of a unit changes in a time, where there is one."""


class UnitError(ValueError):
    """An unknown unit code, or two units of different dimension."""


def _known(code: str) -> Unit:
    try:
        return UNITS[code]
    except KeyError:
        known = ", ".join(UNITS)
        raise UnitError(f"Unknown unit '{code}'; use one of: {known}.") from None


def powers(code: str) -> Powers:
    """Return the base dimensions of unit ``code`` with their powers, sorted by name.

    An angle counts as a dimension of its own: the SI calls it a plain number, but a turn of
    60 degrees must never pass for a number of blades. So does a difference of temperatures, which
    is not a temperature: 2 degrees warmer must never pass for 2 degrees.
    """
    return _known(code).powers


def scale(code: str) -> Fraction:
    """Return how many SI base units one *difference* of unit ``code`` is, exactly.

    A degree of angle counts as one, since it has a dimension of its own (see :func:`powers`).
    """
    return _known(code).scale


@cache
def same_dimension(a: str, b: str) -> bool:
    """Tell whether unit codes ``a`` and ``b`` measure the same dimension."""
    return powers(a) == powers(b)


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
    given, wanted = _known(source), _known(target)
    return (value * given.scale + given.zero - wanted.zero) / wanted.scale


def convert_difference(value: Fraction, source: str, target: str) -> Fraction:
    """Convert a difference, such as a tolerance or an uncertainty, exactly.

    It differs from :func:`convert` for temperatures alone: 5 degC more is 9 degF more, although
    a thermometer at 5 degC shows 41 degF. There ``delta_degC`` may stand for ``degC`` and the
    other way round.

    Raises:
        UnitError: either code is unknown or their dimensions differ.
    """
    return convert(value, difference_unit(source), difference_unit(target))


def difference_unit(code: str) -> str:
    """The unit code in which a difference of values in ``code`` is written."""
    return DIFFERENCE_OF.get(code, code)
