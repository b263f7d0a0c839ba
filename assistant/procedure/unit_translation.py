"""Limits said in the other unit system, rounded inward: a translation never loosens a tolerance."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from typing import Literal

from assistant.procedure.kinds import kind_of
from assistant.procedure.models import Procedure
from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits

System = Literal["inch", "metric"]

# Unit of a limit -> (unit, graduation) in the other system; the graduation is the finest that a
# workshop gauge of that unit shows (common practice, no source).
_METRIC = {
    "in": ("mm", Fraction(1, 1000)),
    "thou": ("mm", Fraction(1, 1000)),
    "tenth": ("um", Fraction(1)),
    "lbf*ft": ("N*m", Fraction(1, 2)),
    "lbf*in": ("N*m", Fraction(1, 10)),
    "ozf*in": ("cN*m", Fraction(1, 2)),
    "degF": ("degC", Fraction(1)),
    "delta_degF": ("delta_degC", Fraction(1)),
    "degF/min": ("degC/min", Fraction(1, 10)),
    "degF/h": ("degC/h", Fraction(1, 10)),
    "psi": ("bar", Fraction(1, 100)),
    "lbf": ("N", Fraction(1)),
}
_INCH = {
    "mm": ("in", Fraction(1, 10000)),
    "um": ("tenth", Fraction(1, 10)),
    "N*m": ("lbf*ft", Fraction(1, 2)),
    "cN*m": ("ozf*in", Fraction(1, 2)),
    "degC": ("degF", Fraction(1)),
    "delta_degC": ("delta_degF", Fraction(1)),
    "degC/min": ("degF/min", Fraction(1, 10)),
    "degC/h": ("degF/h", Fraction(1, 10)),
    "bar": ("psi", Fraction(1)),
    "MPa": ("psi", Fraction(10)),
    "kN": ("lbf", Fraction(10)),
    "N": ("lbf", Fraction(1, 10)),
}


class TranslationError(ValueError):
    """No value of the other unit lies within the limits; one sentence with a remedy."""


@dataclass(frozen=True)
class Translation:
    """The limits of one step in both units; ``limits`` of a torque span its tolerance."""

    step: str
    what: str
    written: Limits
    translated: Limits

    def __str__(self) -> str:
        return f"{self.step}: {self.what} {self.written} becomes {self.translated}"


def inward(limits: Limits, unit: str, graduation: Fraction) -> Limits:
    """``limits`` in ``unit``: the lower rounded up, the upper down, to whole graduations.

    Raises:
        TranslationError: no whole graduation lies within the limits.
        UnitError: ``unit`` measures something else.
    """
    lower = upper = None
    if limits.lower is not None:
        lower = Amount(ceil(limits.lower.to(unit).value / graduation) * graduation, unit)
    if limits.upper is not None:
        upper = Amount(floor(limits.upper.to(unit).value / graduation) * graduation, unit)
    if lower is not None and upper is not None and lower.value > upper.value:
        raise TranslationError(
            f"No graduation of {Amount(graduation, unit)} lies within {limits}; "
            "use a finer graduation or keep the unit."
        )
    return Limits(lower, upper)


def translations(procedure: Procedure, system: System) -> list[Translation]:
    """Every limit and torque of ``procedure`` that is written in the other system's units.

    Raises:
        TranslationError: the limits of a step are narrower than a graduation.
    """
    table = _METRIC if system == "metric" else _INCH
    found: list[Translation] = []
    for step in procedure.steps:
        judged = kind_of(step).limits(step)
        if judged is None:
            continue
        what, written = judged
        stated = written.lower or written.upper
        if stated is None or stated.unit not in table:
            continue
        found.append(Translation(step.id, what, written, inward(written, *table[stated.unit])))
    return found
