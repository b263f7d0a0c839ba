"""Several readings of one feature: mean, range, runout, and the reading that stands apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

from assistant.quantities.amount import Amount
from assistant.quantities.roots import square_root
from assistant.quantities.statistics_tables import student_quantile
from assistant.quantities.trigonometry import cosine, sine


def _values(readings: Sequence[Amount], least: int = 1) -> tuple[list[Fraction], str]:
    if len(readings) < least:
        raise ValueError(f"This needs at least {least} readings; there are {len(readings)}.")
    unit = readings[0].unit
    return [r.to(unit).value for r in readings], unit


def runout_from_quarter_turns(readings: Sequence[Amount]) -> Amount:
    """Total indicator reading from four readings a quarter turn apart, of a round, off-centre part.

    Off centre by e, an indicator reads r + e cos(angle - phase). Readings a, b, c, d at 0, 90, 180
    and 270 degrees give a - c = 2 e cos(phase) and b - d = 2 e sin(phase). So the full movement
    2 e is sqrt((a - c)^2 + (b - d)^2), wherever the high point is. Largest minus smallest of the
    four is up to 29 % less. If the part is out of round, this misses what lies between: turn it
    once and read the full movement.

    Raises:
        ValueError: not four readings.
    """
    values, unit = _values(readings, 4)
    if len(values) != 4:
        raise ValueError(f"Quarter turns are four readings; there are {len(values)}.")
    a, b, c, d = values
    return Amount(square_root((a - c) ** 2 + (b - d) ** 2), unit)


def sine_wave(values: Sequence[Fraction]) -> tuple[Fraction, Fraction]:
    """The two amplitudes of the wave of one turn that lies nearest to equally spaced stops.

    Least squares: with N stops at angles t they are 2/N times the sums of value x cos(t) and of
    value x sin(t). Of a round part off centre the wave goes through every stop.
    """
    share = Fraction(2, len(values))
    angles = [Fraction(360 * i, len(values)) for i in range(len(values))]
    across = sum((v * cosine(t) for v, t in zip(values, angles, strict=True)), Fraction(0))
    along = sum((v * sine(t) for v, t in zip(values, angles, strict=True)), Fraction(0))
    return share * across, share * along


def runout_from_stops(readings: Sequence[Amount]) -> Amount:
    """Total indicator reading from four or more equally spaced stops round one turn.

    As :func:`runout_from_quarter_turns`, of a round part that is off centre; with more stops the
    scatter of single readings counts less. Cut after 30 figures where it never ends.

    Raises:
        ValueError: fewer than four readings.
    """
    values, unit = _values(readings, 4)
    a, b = sine_wave(values)
    return Amount(2 * square_root(a * a + b * b), unit)


@dataclass(frozen=True)
class Outlier:
    """The reading at ``index`` stands apart: Grubbs' ``statistic`` exceeds ``critical``."""

    index: int
    statistic: float
    critical: float


def grubbs_critical(count: int, significance: float = 0.05) -> float:
    """Two-sided critical value of Grubbs' test for ``count`` (3 or more) readings.

    NIST/SEMATECH e-Handbook 1.3.5.17.1: (N-1)/sqrt(N) sqrt(t^2 / (N-2+t^2)) with t the upper
    critical value of Student's t at significance/(2N) and N-2 degrees of freedom.
    """
    t = student_quantile(1 - significance / (2 * count), count - 2)
    return (count - 1) / sqrt(count) * sqrt(t * t / (count - 2 + t * t))


def outlier(
    readings: Sequence[Amount],
    significance: float = 0.05,
    *,
    graduation: Amount | None = None,
    uncertainty: Amount | None = None,
) -> Outlier | None:
    """The one reading to query, by Grubbs' test at 5 %; None when none stands apart.

    A query is all that it is: the reading is measured again, never dropped. With fewer than three
    readings, or readings that are all alike, nothing can be said.

    Grubbs' test takes readings to be continuous. Of three on a coarse scale two are often alike,
    and then any third seems to stand apart. So a reading must also lie more than ``graduation``
    of the gauge, and more than its expanded ``uncertainty``, from the mean of the others. The
    variance of rounding to a graduation is added (a^2 / 12, GUM F.2.2.1).
    """
    if len(readings) < 3:
        return None
    values, unit = _values(readings)
    count = len(values)
    middle = sum(values, Fraction(0)) / count
    variance = sum(((v - middle) ** 2 for v in values), Fraction(0)) / (count - 1)
    if variance == 0:
        return None
    index = max(range(count), key=lambda i: abs(values[i] - middle))
    off = abs(values[index] - middle) * count / (count - 1)  # from the mean of the others
    if graduation is not None:
        variance += graduation.difference_to(unit) ** 2 / 12
    least = [abs(a.difference_to(unit)) for a in (graduation, uncertainty) if a is not None]
    if any(off <= one for one in least):
        return None
    statistic = sqrt((values[index] - middle) ** 2 / variance)
    critical = grubbs_critical(count, significance)
    # of three readings two alike reach the critical value but for 0.0005; rounding must not decide
    return Outlier(index, statistic, critical) if statistic > critical + 1e-12 else None
