"""Bolts in formulas: how far a load stretches one."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction

from assistant.quantities.formula_error import FormulaError
from assistant.quantities.joint import STEEL_GPA
from assistant.quantities.terms import Term, follow
from assistant.quantities.units import powers


def stretch(formula: str, terms: Sequence[Term]) -> Term:
    """How much longer a steel bolt is under a load, over its grip; its section in mm2.

    Head and nut add some stretch of their own, so the maker's figure governs.
    """
    if [t.powers for t in terms] != [powers("N"), powers("mm"), ()] or terms[2].value <= 0:
        raise FormulaError(
            "'stretch' in the formula takes the load, the grip and the section in square "
            "millimetres, such as stretch(load, grip, 58)."
        )
    load, grip, area = terms
    longer = _stretched(load.value, grip.value, area.value)
    return follow(
        longer,
        powers("mm"),
        (_stretched(Fraction(1), grip.value, area.value), load),
        (_stretched(load.value, Fraction(1), area.value), grip),
        (-longer / area.value, area),
    )


def _stretched(newtons: Fraction, metres: Fraction, area_mm2: Fraction) -> Fraction:
    """Stretch in metres of an even steel bar under load: F L / (A E), Hooke's law; exact."""
    return newtons * metres / (area_mm2 * STEEL_GPA * 1000)


FUNCTIONS: Mapping[str, Callable[[str, Sequence[Term]], Term]] = {"stretch": stretch}
"""By their names in a formula, which each gets for its sentences."""
