"""How the uncertainties of readings pass into a value computed from them (JCGM 100, GUM).

First order: each reading's standard uncertainty times how strongly the result follows it
(GUM 5.1.2). Readings of one gauge are not independent (GUM 5.2.4, F.1.2.3): its error may be the
same at every reading, or differ along its scale, and a certificate does not say which. So for each
gauge both are computed, independent and fully correlated, and the larger one is taken.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

from assistant.quantities.amount import Amount, places_for
from assistant.quantities.uncertainty import rounded_up
from assistant.quantities.units import convert_difference, difference_unit, same_dimension

COVERAGE = 2
"""The factor of every expanded uncertainty here: U = 2 u."""


@dataclass(frozen=True, order=True)
class UncertaintySource:
    """Where a part of the uncertainty comes from: one ``reading`` by one ``gauge``."""

    gauge: str
    reading: str


Parts = Mapping[UncertaintySource, Fraction]
"""Signed standard uncertainties of a value, by source, in the value's unit as a difference."""


@dataclass(frozen=True)
class Estimate:
    """A value with its uncertainty and the step in which it is stated.

    ``parts`` is None where the uncertainty of a reading in it is not known; ``step`` is the
    smallest difference that means anything, in the unit of ``amount``, None where it is exact.
    """

    amount: Amount
    parts: Parts | None = None
    step: Fraction | None = None

    @property
    def uncertainty(self) -> Amount | None:
        """Expanded uncertainty (k = 2) as a difference, rounded up to two figures (GUM 7.2.6)."""
        if self.parts is None:
            return None
        unit = difference_unit(self.amount.unit)
        return Amount(rounded_up(COVERAGE * standard(self.parts)), unit)

    def to(self, unit: str) -> Estimate:
        """The same estimate in ``unit``."""
        if unit == self.amount.unit:
            return self

        def turned(difference: Fraction) -> Fraction:
            return convert_difference(difference, self.amount.unit, unit)

        return Estimate(
            self.amount.to(unit),
            None if self.parts is None else {s: turned(p) for s, p in self.parts.items()},
            None if self.step is None else turned(self.step),
        )

    def shown(self) -> Amount:
        """The value rounded (half to even), never coarser than its step."""
        return rounded(self.amount, self.step)


def rounded(amount: Amount, step: Fraction | None, more: int = 0) -> Amount:
    """``amount`` to the decimals that are no coarser than ``step``, one more, and ``more``.

    The one more keeps rounding out of what is computed or judged by it (GUM 7.2.6); where it is
    zero it is left out. Without a step an amount that is a decimal stays as it is; another gets
    seven figures.
    """
    if step:
        least = places_for(abs(step))
    elif amount.resolution is None and amount.decimals_needed() is None:
        least = places_for(abs(amount.value) / 10**6) - 1
    else:
        return amount
    places = least + 1 + more
    value = Fraction(round(amount.value * 10**places), 10**places)
    while places > least and (value * 10 ** (places - 1)).denominator == 1:
        places -= 1
    return Amount(value, amount.unit, Fraction(1, 10**places))


def reading_estimate(
    amount: Amount,
    source: UncertaintySource,
    uncertainty: Amount | None,
    graduation: Amount | None = None,
) -> Estimate:
    """A reading as it was stated, by a gauge with expanded ``uncertainty`` (k = 2)."""
    unit = amount.unit
    steps = [a.difference_to(unit) for a in (graduation,) if a is not None]
    if amount.resolution is not None:
        steps.append(amount.resolution)
    parts = None
    if uncertainty is not None:
        parts = {source: abs(uncertainty.difference_to(unit)) / COVERAGE}
    return Estimate(amount, parts, min(steps, default=None))


def standard(parts: Parts) -> float:
    """Combined standard uncertainty, in the unit of the parts."""
    by_gauge: dict[str, list[Fraction]] = defaultdict(list)
    for source, part in parts.items():
        by_gauge[source.gauge].append(part)
    total = Fraction(0)
    for shares in by_gauge.values():
        independent = sum((p * p for p in shares), Fraction(0))
        correlated = sum(shares, Fraction(0)) ** 2
        total += max(independent, correlated)
    return sqrt(total)


def weighted(terms: Iterable[tuple[Fraction, Parts | None]]) -> Parts | None:
    """The parts of a sum of terms, each times its factor; None where one is not known."""
    found: dict[UncertaintySource, Fraction] = defaultdict(Fraction)
    for factor, parts in terms:
        if parts is None:
            return None
        for source, part in parts.items():
            found[source] += factor * part
    return dict(found)


def suits(unit: str, other: str) -> bool:
    """Whether a difference in ``unit`` may be given with values in ``other``."""
    return same_dimension(difference_unit(unit), difference_unit(other))
