"""Shaft alignment in formulas: the functions of ``alignment``, with units and uncertainties."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction

from assistant.quantities.alignment import foot_move, rim_offset
from assistant.quantities.formula_error import FormulaError
from assistant.quantities.problem import problem
from assistant.quantities.terms import Term, added, follow, over, scaled
from assistant.quantities.units import powers

_LENGTH = powers("mm")
_HALF = Fraction(1, 2)


def _lengths(name: str, example: str, terms: Sequence[Term]) -> None:
    if [term.powers for term in terms] != [_LENGTH] * 3:
        raise FormulaError(f"'{name}' in the formula takes three lengths, such as {example}.")


def _rim_offset(formula: str, terms: Sequence[Term]) -> Term:
    _lengths("rim_offset", "rim_offset(top, bottom, sag)", terms)
    zeroed, opposite, sag = terms
    value = rim_offset(zeroed.value, opposite.value, sag.value)
    return follow(value, _LENGTH, (-_HALF, zeroed), (_HALF, opposite), (-_HALF, sag))


def _standing_offset(formula: str, terms: Sequence[Term]) -> Term:
    _lengths("standing_offset", "standing_offset(top, bottom, sag)", terms)
    return scaled(_rim_offset(formula, terms), Fraction(-1))


def _face_slope(formula: str, terms: Sequence[Term]) -> Term:
    _lengths("face_slope", "face_slope(top, bottom, '120 mm')", terms)
    zeroed, opposite, diameter = terms
    if diameter.value == 0:
        raise FormulaError(problem("divides_by_zero", formula=formula))
    return over(added(opposite, zeroed, -1), diameter)


def _foot_move(formula: str, terms: Sequence[Term]) -> Term:
    if [term.powers for term in terms] != [_LENGTH, (), _LENGTH]:
        raise FormulaError(
            "'foot_move' in the formula takes an offset, a slope and a distance, such as "
            "foot_move(offset, slope, '400 mm')."
        )
    offset, slope, distance = terms
    value = foot_move(offset.value, slope.value, distance.value)
    return follow(
        value, _LENGTH, (Fraction(1), offset), (distance.value, slope), (slope.value, distance)
    )


FUNCTIONS: Mapping[str, Callable[[str, Sequence[Term]], Term]] = {
    "rim_offset": _rim_offset,
    "standing_offset": _standing_offset,
    "face_slope": _face_slope,
    "foot_move": _foot_move,
}
"""By name, from the formula and the values of its arguments."""
