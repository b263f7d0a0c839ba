"""Limits of size and fits by their names, such as ``25 H7/k6`` (ISO 286-1:2010), to 500 mm.

The tables are in ``iso286_tables``. Deviations are in micrometres, exact.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from assistant.quantities import iso286_tables as tables
from assistant.quantities.amount import Amount, parse_amount
from assistant.quantities.limits import Limits

_CLASS = re.compile(r"(JS|[A-HJKMNPR-VX-Z]|js|[a-hjkmnpr-vx-z])(\d{1,2})")
_NAME = re.compile(
    r"\s*(\d{1,3}(?:\.\d{1,3})?)\s*(?:mm\s*)?([A-Za-z]{1,2}\d{1,2})(?:\s*/\s*(\S+))?\s*"
)
_K_GRADES = range(4, 8)  # in which a shaft k has a deviation of its own
_DELTA = range(3, 9)  # grades whose holes K to Z are shifted by delta
_P_TO_Z_SHIFTED = 7  # the last grade that is, from P on
_LEAST_SHIFTED = 3  # mm: up to this size no hole is shifted
_M6_RANGE, _M6 = (250, 315), Fraction(-9)  # the one exception of the standard (table 3)
_ZERO_FROM = 9  # a hole N of this grade or coarser reaches up to the nominal size


class FitError(ValueError):
    """A size or tolerance class outside the tables; the message is one sentence."""


@dataclass(frozen=True)
class Fit:
    """Least and greatest clearance of a hole and a shaft; negative is interference. In mm."""

    least: Amount
    greatest: Amount


def limits_of(name: str) -> Limits:
    """What a name stands for: limits of size (``25 H7``), or of the clearance (``25 H7/k6``).

    Raises:
        FitError: no such name, or outside the tables.
    """
    found = _NAME.fullmatch(name)
    if found is None:
        raise FitError(f"'{name}' does not name a fit; write '25 H7', '25 k6' or '25 H7/k6'.")
    nominal = parse_amount(f"{found.group(1)} mm")
    if found.group(3) is None:
        return class_limits(nominal, found.group(2))
    between = fit(nominal, found.group(2), found.group(3))
    return Limits(between.least, between.greatest)


def is_pair(name: str) -> bool:
    """Whether a name is that of a hole and a shaft."""
    return "/" in name


def class_limits(nominal: Amount, tolerance_class: str) -> Limits:
    """Limits of size of ``nominal`` with a class such as ``H7`` (hole) or ``g6`` (shaft), in mm.

    Raises:
        FitError: unknown class, or a size over 500 mm.
    """
    low, high = deviations(nominal, tolerance_class)
    size = nominal.to("mm").value
    return Limits(Amount(size + low / 1000, "mm"), Amount(size + high / 1000, "mm"))


def fit(nominal: Amount, hole: str, shaft: str) -> Fit:
    """The clearances of a fit such as 25 mm H7/g6. As :func:`class_limits` for errors.

    Raises:
        FitError: also when the hole's class is written small or the shaft's large.
    """
    if not hole[:1].isupper() or not shaft[:1].islower():
        raise FitError("A hole's class is written large and a shaft's small; write H7 and g6.")
    bore_low, bore_high = deviations(nominal, hole)
    shaft_low, shaft_high = deviations(nominal, shaft)
    return Fit(
        Amount((bore_low - shaft_high) / 1000, "mm"),
        Amount((bore_high - shaft_low) / 1000, "mm"),
    )


def deviations(nominal: Amount, tolerance_class: str) -> tuple[Fraction, Fraction]:
    """Lower and upper limit deviation in micrometres. As :func:`class_limits` for errors."""
    found = _CLASS.fullmatch(tolerance_class)
    grade = int(found.group(2)) if found else 0
    if found is None or grade not in tables.GRADES:
        raise FitError(
            f"'{tolerance_class}' is not in the tables; they hold holes A to Z and shafts a to z, "
            "grades 1 to 16, such as H7 and k6."
        )
    size = nominal.to("mm").value
    most = tables.MAIN_STEPS[-1]
    if not 0 < size <= most:
        raise FitError(f"{nominal} is outside the tables, which reach to {most} mm.")
    class_ = _Class(found.group(1), grade, size)
    width = _at(tables.GRADES[grade], size)
    if class_.letter in ("JS", "js"):
        return -width / 2, width / 2
    if class_.letter.isupper():
        low, high = class_.of_hole()
    else:
        low, high = class_.of_shaft()
    if low is None and high is None:
        raise FitError(f"The standard has no {tolerance_class} of {nominal}; check the name.")
    if low is not None:
        return low, low + width
    assert high is not None
    return high - width, high


_Ends = tuple[Fraction | None, Fraction | None]


@dataclass(frozen=True)
class _Class:
    """A tolerance class at a size in mm: the deviation that its letter gives, lower or upper."""

    letter: str
    grade: int
    size: Fraction

    def of_shaft(self) -> _Ends:
        """(lower, None), (None, upper), or neither where the standard has none."""
        away = self._away()
        if away is not None:
            return None, -away
        if self.letter == "j":
            table = tables.J_SHAFT.get(self.grade)
            return (None, None) if table is None else (-_at(table, self.size), None)
        return self._over(), None

    def of_hole(self) -> _Ends:
        """The same for a hole."""
        away = self._away()
        if away is not None:
            return away, None
        if self.letter == "J":
            table = tables.J_HOLE.get(self.grade)
            return None, None if table is None else _at(table, self.size)
        over = self._over()
        return None, None if over is None else self._shifted(over)

    def _away(self) -> Fraction | None:
        """How far a letter from a to h lies away from the nominal size."""
        letter = self.letter.lower()
        if letter in tables.UNDER:
            return _at(tables.UNDER[letter], self.size)
        fine = tables.UNDER_FINE.get(letter)
        return None if fine is None else _at(fine, self.size)

    def _over(self) -> Fraction | None:
        """The lower deviation of the shaft of a letter from k to z."""
        letter = self.letter.lower()
        if letter == "k":
            own = self.grade in _K_GRADES or self.letter == "K"
            return _at(tables.K, self.size) if own else Fraction(0)
        if letter in tables.OVER:
            return _at(tables.OVER[letter], self.size)
        found = _at(tables.OVER_FINE[letter], self.size)
        return found or None

    def _shifted(self, over: Fraction) -> Fraction | None:
        """The upper deviation of a hole from K to Z (ISO 286-1, 4.3.2.5)."""
        small = self.size <= _LEAST_SHIFTED
        if self.letter == "K" and self.grade not in range(max(_DELTA) + 1):
            return Fraction(0) if small else None
        if self.letter == "N" and self.grade >= _ZERO_FROM and not small:
            return Fraction(0)
        low, high = _M6_RANGE
        if (self.letter, self.grade) == ("M", 6) and low < self.size <= high:
            return _M6
        last = max(_DELTA) if self.letter in "KMN" else _P_TO_Z_SHIFTED
        if small or self.grade not in _DELTA or self.grade > last:
            return -over
        finer, own = (_at(tables.GRADES[g], self.size) for g in (self.grade - 1, self.grade))
        return own - finer - over


def _at(row: Sequence[int | Fraction], size: Fraction) -> Fraction:
    """The entry of a row of a table for a size in mm."""
    steps = tables.MAIN_STEPS if len(row) == len(tables.MAIN_STEPS) else tables.FINE_STEPS
    return Fraction(next(v for top, v in zip(steps, row, strict=True) if size <= top))
