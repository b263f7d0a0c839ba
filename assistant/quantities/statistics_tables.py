"""Student's t for a whole number of degrees of freedom, without a table to mistype.

The distribution function is the finite series of Abramowitz and Stegun 26.7.3 and 26.7.4; the
quantile is found by halving. The tests compare both with scipy.stats.
"""

from __future__ import annotations

from functools import lru_cache
from math import atan, cos, pi, sin, sqrt


def student_cdf(t: float, dof: int) -> float:
    """Probability that Student's t with ``dof`` degrees of freedom (1 or more) is at most ``t``.

    Raises:
        ValueError: fewer than one degree of freedom.
    """
    if dof < 1:
        raise ValueError("Student's t needs at least one degree of freedom.")
    theta = atan(t / sqrt(dof))
    c, s = cos(theta), sin(theta)
    if dof == 1:
        return 0.5 + theta / pi
    term, total = (c if dof % 2 else 1.0), (c if dof % 2 else 1.0)
    for k in range(3 if dof % 2 else 2, dof - 1, 2):
        term *= (k - 1) / k * c * c
        total += term
    between = 2 / pi * (theta + s * total) if dof % 2 else s * total
    return 0.5 + between / 2


@lru_cache(maxsize=256)
def student_quantile(probability: float, dof: int) -> float:
    """The t that is not exceeded with ``probability`` (0.5 up to under 1).

    Raises:
        ValueError: a probability outside that range.
    """
    if not 0.5 <= probability < 1:
        raise ValueError("The probability must lie from 0.5 to under 1.")
    low, high = 0.0, 1.0
    while student_cdf(high, dof) < probability:
        high *= 2
    for _ in range(200):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        if student_cdf(middle, dof) < probability:
            low = middle
        else:
            high = middle
    return high
