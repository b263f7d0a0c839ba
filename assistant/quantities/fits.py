"""Limits of ISO 286 fits from tables, and the warmth that a shrink fit needs.

The tables are those of ISO 286-1:2010 (standard tolerances, fundamental deviations), from memory,
for sizes to 250 mm and the common classes; the tests compare them with published extracts of
ISO 286-2. Deviations in micrometres.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits
from assistant.quantities.problem import Problem, problem

# Sizes over the one before and up to this, in mm.
_UP_TO = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250)
_GRADES: dict[int, tuple[int, ...]] = {
    5: (4, 5, 6, 8, 9, 11, 13, 15, 18, 20),
    6: (6, 8, 9, 11, 13, 16, 19, 22, 25, 29),
    7: (10, 12, 15, 18, 21, 25, 30, 35, 40, 46),
    8: (14, 18, 22, 27, 33, 39, 46, 54, 63, 72),
    9: (25, 30, 36, 43, 52, 62, 74, 87, 100, 115),
    10: (40, 48, 58, 70, 84, 100, 120, 140, 160, 185),
    11: (60, 75, 90, 110, 130, 160, 190, 220, 250, 290),
}
# Shafts under the nominal size: upper deviation. Holes of the same letter mirror them.
_UNDER: dict[str, tuple[int, ...]] = {
    "d": (20, 30, 40, 50, 65, 80, 100, 120, 145, 170),
    "e": (14, 20, 25, 32, 40, 50, 60, 72, 85, 100),
    "f": (6, 10, 13, 16, 20, 25, 30, 36, 43, 50),
    "g": (2, 4, 5, 6, 7, 9, 10, 12, 14, 15),
    "h": (0, 0, 0, 0, 0, 0, 0, 0, 0, 0),
}
# Shafts over it: lower deviation, for grades 5 to 7. Their holes follow other rules.
_OVER: dict[str, tuple[int, ...]] = {
    "k": (0, 1, 1, 1, 2, 2, 2, 3, 3, 4),
    "m": (2, 4, 6, 7, 8, 9, 11, 13, 15, 17),
    "n": (4, 8, 10, 12, 15, 17, 20, 23, 27, 31),
    "p": (6, 12, 15, 18, 22, 26, 32, 37, 43, 50),
}
_CLASS = re.compile(r"([DEFGHdefghkmnp]|JS|js)(\d{1,2})")


class FitError(ValueError):
    """A size or tolerance class outside the tables; the message is one sentence."""


def class_limits(nominal: Amount, tolerance_class: str) -> Limits:
    """Limits of size of ``nominal`` with a class such as ``H7`` (hole) or ``g6`` (shaft), in mm.

    Raises:
        FitError: unknown class, or a size over 250 mm.
    """
    low, high = deviations(nominal, tolerance_class)
    size = nominal.to("mm").value
    return Limits(
        Amount(size + Fraction(low) / 1000, "mm"), Amount(size + Fraction(high) / 1000, "mm")
    )


def deviations(nominal: Amount, tolerance_class: str) -> tuple[Fraction, Fraction]:
    """Lower and upper limit deviation in micrometres. As :func:`class_limits` for errors."""
    found = _CLASS.fullmatch(tolerance_class)
    grade = int(found.group(2)) if found else 0
    if found is None or grade not in _GRADES:
        raise FitError(
            f"'{tolerance_class}' is not in the tables; they hold D to H and JS for holes, d to h, "
            "js, k, m, n and p for shafts, grades 5 to 11."
        )
    letter = found.group(1)
    size = nominal.to("mm").value
    if not 0 < size <= _UP_TO[-1]:
        raise FitError(f"{nominal} is outside the tables, which reach to {_UP_TO[-1]} mm.")
    place = next(i for i, top in enumerate(_UP_TO) if size <= top)
    width = Fraction(_GRADES[grade][place])
    if letter.lower() == "js":
        return -width / 2, width / 2
    if letter in _OVER:
        if grade > 7:
            raise FitError(f"'{tolerance_class}' is not in the tables; use grades 5 to 7.")
        low = Fraction(_OVER[letter][place])
        return low, low + width
    away = Fraction(_UNDER[letter.lower()][place])
    return (away, away + width) if letter.isupper() else (-away - width, -away)


@dataclass(frozen=True)
class Fit:
    """Least and greatest clearance of a hole and a shaft; negative is interference. In mm."""

    least: Amount
    greatest: Amount


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


@dataclass(frozen=True)
class ShrinkFit:
    """A part to be warmed over its shaft: how much they interfere, and the clearance wanted."""

    diameter: Amount
    interference: Amount
    clearance: Amount


def heat_for(
    warmed: ShrinkFit, expansion: Fraction, room: Amount, highest: Amount | None = None
) -> Amount | Problem:
    """Temperature at which the outer part of ``warmed`` drops over its shaft.

    The bore grows by diameter x expansion x warming; rounded up to a whole degree Celsius. A
    problem when that is over ``highest``, the most that the part, its seals or the grease bear.

    Args:
        expansion: per degree Celsius, see :data:`assistant.quantities.correction.EXPANSION`.
        room: temperature of the shaft and of the cold part.

    Raises:
        FitError: a diameter or an expansion that is not above zero.
    """
    size = warmed.diameter.to("mm").value
    if size <= 0 or expansion <= 0:
        raise FitError("The diameter and the expansion must be above zero.")
    grow = warmed.interference.to("mm").value + warmed.clearance.to("mm").value
    needed = room.to("degC").value + max(Fraction(0), grow) / (size * expansion)
    warm = Amount(Fraction(ceil(needed)), "degC", Fraction(1))
    if highest is not None and warm.value > highest.to("degC").value:
        return problem("fit_too_hot", needed=warm, highest=highest)
    return warm
