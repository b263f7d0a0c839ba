"""Square roots of exact values: exact where they end."""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction
from math import isqrt

_FIGURES = 30  # of a root that never ends: far finer than any gauge


def square_root(value: Fraction) -> Fraction:
    """The square root of ``value`` (zero or more), exact or cut after 30 figures."""
    top, bottom = isqrt(value.numerator), isqrt(value.denominator)
    if (top * top, bottom * bottom) == (value.numerator, value.denominator):
        return Fraction(top, bottom)
    with localcontext() as context:
        context.prec = _FIGURES
        return Fraction((Decimal(value.numerator) / Decimal(value.denominator)).sqrt())
