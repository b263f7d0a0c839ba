"""Sine and cosine of an angle in degrees, to 30 figures; exact where they are fractions."""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction

_FIGURES = 30
_PRECISION = 45
PI = Fraction("3.14159265358979323846264338327950288419716939937510")
"""To fifty decimals (ISO 80000-2 names it; the figures from memory, held against math.pi)."""

_QUARTER = 90
# of the sine: the only angles under a right one whose sine is a fraction (Niven's theorem)
_EXACT = {0: Fraction(0), 30: Fraction(1, 2), 90: Fraction(1)}


def sine(degrees: Fraction) -> Fraction:
    """The sine of an angle in degrees."""
    turned = degrees % (4 * _QUARTER)
    sign = -1 if turned > 2 * _QUARTER else 1
    turned %= 2 * _QUARTER
    if turned > _QUARTER:
        turned = 2 * _QUARTER - turned
    if turned in _EXACT:
        return sign * _EXACT[int(turned)]
    return sign * _series(turned * PI / (2 * _QUARTER))


def cosine(degrees: Fraction) -> Fraction:
    """The cosine of an angle in degrees."""
    return sine(degrees + _QUARTER)


def _series(radians: Fraction) -> Fraction:
    """The sine of an angle between nothing and a right one: x - x^3/3! + x^5/5! - ..."""
    with localcontext() as context:
        context.prec = _PRECISION
        x = Decimal(radians.numerator) / Decimal(radians.denominator)
        term, total, order = x, x, 1
        while abs(term) > Decimal(10) ** -(_PRECISION - 5):
            order += 2
            term = -term * x * x / ((order - 1) * order)
            total += term
        context.prec = _FIGURES
        return Fraction(+total)
