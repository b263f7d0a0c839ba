"""Shaft alignment by dials in formulas: offset, slope, and how far the feet must move.

The machine that stays carries the bracket; the dial rides on the coupling half of the machine that
is moved. It is set to zero on one side (the top) and read on the other (the bottom), with both
shafts turned together. Then every result is how far the moved machine has to go *towards the side
where the dial was set to zero*: up by shims, or sideways. A negative one goes the other way.

- A shaft that lies low by ``h`` pushes the plunger in by ``h`` at the bottom and lets it out by
  ``h`` at the top. The dial shows twice the offset.
- The bracket sags under its own weight. On a straight bar it shows the ``sag`` at the bottom, zero
  at the top: a negative number. What it shows there is no offset, and is taken off. Sideways there
  is none.
- The face of the half leans with the shaft. Read over a circle of ``diameter``, it gives the slope,
  which is carried on to the feet: ``foot = offset + slope * distance`` behind the rim dial.
- With two dials on the rims, ``apart`` along the shaft, the second rides on the half that stays,
  its bracket on the half that is moved. So it shows the same offset with the other sign.

The geometry is exact for small angles: the dial follows the shaft within a millionth for slopes of
up to 1 mm/m.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction

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
    value = (opposite.value - zeroed.value - sag.value) / 2
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
    value = offset.value + slope.value * distance.value
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
