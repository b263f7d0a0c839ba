"""Uncertainty budget after the GUM (JCGM 100:2008) and what it means for a verdict (JCGM 106)."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from math import floor, inf, isinf, log10, sqrt
from statistics import NormalDist

from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits
from assistant.quantities.statistics_tables import student_quantile


@dataclass(frozen=True)
class Component:
    """One source of uncertainty: its standard uncertainty in ``unit`` of the result.

    ``dof`` is the degrees of freedom, infinite for a known bound.
    """

    name: str
    standard: float
    unit: str
    dof: float = inf


def rectangular(name: str, half_width: Amount) -> Component:
    """Anywhere within plus or minus ``half_width``: u = a / sqrt(3) (GUM 4.3.7)."""
    return Component(name, abs(float(half_width.value)) / sqrt(3), half_width.unit)


def from_resolution(resolution: Amount) -> Component:
    """Rounding of the display: half a step to either side, rectangular (GUM F.2.2.1)."""
    half = Amount(resolution.value / 2, resolution.unit)
    return rectangular("resolution", half)


def from_mpe(mpe: Amount) -> Component:
    """Maximum permissible error of the gauge, taken as rectangular."""
    return rectangular("maximum permissible error", mpe)


@dataclass(frozen=True)
class Budget:
    """Independent components of one reading, each with sensitivity one, combined in ``unit``."""

    components: tuple[Component, ...]
    unit: str

    def _parts(self) -> list[tuple[float, float]]:
        return [
            (float(Amount(Fraction(c.standard), c.unit).difference_to(self.unit)), c.dof)
            for c in self.components
        ]

    @property
    def standard(self) -> float:
        """Combined standard uncertainty: root of the sum of squares (GUM 5.1.2)."""
        return sqrt(sum(u * u for u, _ in self._parts()))

    @property
    def dof(self) -> float:
        """Effective degrees of freedom, Welch-Satterthwaite (GUM G.4.1)."""
        whole = self.standard
        weight = sum(u**4 / dof for u, dof in self._parts())
        return whole**4 / weight if weight else inf

    def expanded(self, probability: float | None = None) -> Amount:
        """Expanded uncertainty U, rounded up to two digits (GUM 7.2.6).

        Coverage factor 2, or with ``probability`` that of Student's t for the effective degrees
        of freedom rounded down (GUM G.6.4).
        """
        factor = 2.0
        if probability is not None:
            tail = (1 + probability) / 2
            dof = self.dof
            # from here on t and the normal deviate are the same to four digits
            many = isinf(dof) or dof > 10_000
            factor = NormalDist().inv_cdf(tail) if many else student_quantile(tail, int(dof))
        return Amount(rounded_up(factor * self.standard), self.unit)


def rounded_up(value: float, digits: int = 2) -> Fraction:
    """``value`` (zero or more) rounded up to ``digits`` figures, as an exact decimal."""
    if value == 0:
        return Fraction(0)
    step = Decimal(1).scaleb(floor(log10(value)) - digits + 1)
    # nine figures first, so that 0.2 does not become 0.21 over its binary tail
    plain = Decimal(f"{value:.9g}")
    return Fraction((plain / step).to_integral_value(ROUND_CEILING) * step)


def conformity_probability(reading: Amount, standard: float, limits: Limits, unit: str) -> float:
    """Probability that the measurand lies within ``limits`` (JCGM 106:2012, 7.2 to 7.4).

    Normal distribution round the reading with ``standard`` uncertainty in ``unit``; what was
    known before the measurement is not used.
    """
    value = reading.to(unit).value
    lower = None if limits.lower is None else limits.lower.to(unit).value
    upper = None if limits.upper is None else limits.upper.to(unit).value
    if standard == 0:
        held = (lower is None or value >= lower) and (upper is None or value <= upper)
        return 1.0 if held else 0.0
    normal = NormalDist()
    below = 0.0 if lower is None else normal.cdf(float(lower - value) / standard)
    above = 0.0 if upper is None else normal.cdf(float(value - upper) / standard)
    return 1.0 - below - above
