"""Which guards of the grammar data a number spec switches on, for each unit that may be said."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.language.spec import NumberSpec
from assistant.quantities.units import convert, same_dimension

INCH_UNITS = ("in", "thou", "tenth")
_METRIC_LENGTHS = ("mm", "um")
MOST_DECIMALS = 6
MOST_DIGITS = 6
_OPEN_DIGITS = 4  # digits before the point where no end of the range is known
_BEYOND = 10  # a reading may be this many times off the range and still be heard for what it is


@dataclass(frozen=True)
class UnitRange:
    """How long a number in ``unit`` may be: digits before the point and after it."""

    unit: str
    shortest: int
    longest: int
    decimals: int


def unit_range(spec: NumberSpec, unit: str) -> UnitRange:
    """Digits that make sense in ``unit``: factor ten beyond the spec's range, whole orders only."""
    own = spec.units[0]
    step = _size(Fraction(1, 10**spec.max_decimals), own, unit)
    decimals = 0
    while decimals < MOST_DECIMALS and Fraction(1, 10**decimals) > step:
        decimals += 1
    ends = [convert(end, own, unit) for end in (spec.low, spec.high) if end is not None]
    top = max(abs(end) for end in ends) * _BEYOND if spec.high is not None else None
    longest = _OPEN_DIGITS if top is None else min(MOST_DIGITS, _digits(top))
    shortest = 1
    if spec.low is not None and spec.low > 0:
        shortest = max(1, min(longest, _digits(convert(spec.low, own, unit) / _BEYOND)))
    return UnitRange(unit, shortest, longest, decimals)


def unit_features(spec: NumberSpec, unit: str, typed: bool) -> frozenset[str]:
    """Features for a value in ``unit`` (a unit of the same dimension as ``spec.units[0]``)."""
    own = spec.units[0]
    room = unit_range(spec, unit)
    on = {f"unit:{unit}", f"decimals_is_{room.decimals}"}
    on |= {f"decimals_{k}" for k in range(1, room.decimals + 1)}
    on |= {f"size_{k}" for k in range(room.shortest, room.longest + 1)}
    if room.longest >= 5:
        on.add("size_4")  # thousands are said with the same word
    on.add(f"longest_{room.longest}")
    if unit == own:
        on |= {"bare", f"first:{unit}"}
    if own in INCH_UNITS:
        on.add("system:inch")
    if own in _METRIC_LENGTHS:
        on.add("system:metric")
    if unit == "in" and not spec.blades and _reaches(spec, Fraction(1, 64)):
        on.add("binary")
    return frozenset(on | common_features(spec, typed))


def common_features(spec: NumberSpec | None, typed: bool) -> frozenset[str]:
    """Features that hold for the whole utterance."""
    on = {"typed"} if typed else set()
    if spec is not None:
        on |= {name for name in ("signed", "blades", "bounds") if getattr(spec, name)}
    return frozenset(on)


def spoken_units(spec: NumberSpec) -> tuple[str, ...]:
    """The spec's units that may be said: of one dimension, tenths only on an inch gauge."""
    own = spec.units[0]
    return tuple(
        unit
        for unit in dict.fromkeys(spec.units)
        if same_dimension(own, unit) and (unit != "tenth" or own in INCH_UNITS)
    )


def _reaches(spec: NumberSpec, inches: Fraction) -> bool:
    return spec.high is None or convert(spec.high, spec.units[0], "in") * _BEYOND >= inches


def _digits(value: Fraction) -> int:
    """Digits before the point of ``value``; 0 below one."""
    whole = int(abs(value))
    return len(str(whole)) if whole else 0


def _size(step: Fraction, source: str, target: str) -> Fraction:
    """A difference of ``step`` in ``source``, in ``target`` (temperature scales have offsets)."""
    return abs(convert(step, source, target) - convert(Fraction(0), source, target))
