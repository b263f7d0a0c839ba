"""Heat in formulas: sizes at 20 degC, growth by heat, and how much hotter it takes to grow.

A length grows by expansion x length x difference of temperature (JCGM 100:2008, H.1.1). The
expansion is written in millionths per kelvin, which a bare number in a formula can say.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction

from assistant.quantities.amount import Amount
from assistant.quantities.correction import REFERENCE_TEMPERATURE, at_reference
from assistant.quantities.formula_error import FormulaError
from assistant.quantities.problem import problem
from assistant.quantities.terms import Term, follow
from assistant.quantities.units import Powers, powers

_LENGTH, _TEMPERATURE, _RISE = powers("mm"), powers("degC"), powers("delta_degC")
_MOST_EXPANSION = 300  # millionths per kelvin; no solid in a workshop grows more
_REFERENCE_K = Fraction("293.15")  # 20 degC (ISO 1)
_MILLION = 1_000_000


def _kinds(terms: Sequence[Term]) -> list[Powers]:
    return [term.powers for term in terms]


def _expansion(formula: str, term: Term) -> Fraction:
    if not 0 <= term.value <= _MOST_EXPANSION:
        raise FormulaError(
            f"The expansion in '{formula}' must lie between 0 and {_MOST_EXPANSION} "
            "millionths per kelvin; steel has about 11.5."
        )
    return term.value / _MILLION


def _celsius(warmer: Fraction) -> Amount:
    return Amount(REFERENCE_TEMPERATURE.value + warmer, "degC")


def at_20(formula: str, terms: Sequence[Term]) -> Term:
    """A length at 20 degC (ISO 1), of a part and, where given, a gauge at other temperatures.

    A warm part is longer, and a warm gauge reads short: reading x (1 + ag (tg - 20)) /
    (1 + ap (tp - 20)), which is JCGM 100:2008, H.1.2 with a gauge in place of the standard.
    """
    part = [_LENGTH, _TEMPERATURE, ()]
    if _kinds(terms) not in (part, [*part, _TEMPERATURE, ()]):
        raise FormulaError(
            "'at_20' in the formula takes a length, a temperature and the expansion in "
            "millionths per kelvin, such as at_20(size, heat, 11.5); behind them temperature and "
            "expansion of the gauge, where it is not at 20 degC."
        )
    reading, expansion = terms[0], _expansion(formula, terms[2])
    warmer = terms[1].value - _REFERENCE_K
    grown = 1 + expansion * warmer
    own, off, follows = Fraction(0), Fraction(0), list[tuple[Fraction, Term]]()
    if len(terms) > len(part):
        own, off = _expansion(formula, terms[4]), terms[3].value - _REFERENCE_K
        follows = [
            (reading.value * own / grown, terms[3]),
            (reading.value * off / _MILLION / grown, terms[4]),
        ]
    gauge = 1 + own * off
    # a factor of any length, so that the unit does not matter here
    whole = Amount(reading.value, "mm")
    size = at_reference(whole, _celsius(warmer), expansion, _celsius(off), own).value
    return follow(
        size,
        reading.powers,
        (gauge / grown, reading),
        (-size * expansion / grown, terms[1]),
        (-size * warmer / _MILLION / grown, terms[2]),
        *follows,
    )


def growth(formula: str, terms: Sequence[Term]) -> Term:
    """By how much a length grows when it gets so much hotter; negative where it gets colder."""
    if _kinds(terms) != [_LENGTH, _RISE, ()]:
        raise FormulaError(
            "'growth' in the formula takes a length, a difference of temperatures and the "
            "expansion in millionths per kelvin, such as growth(bore, hot - cold, 11.5)."
        )
    length, rise, each = terms
    expansion = _expansion(formula, each)
    return follow(
        length.value * rise.value * expansion,
        _LENGTH,
        (rise.value * expansion, length),
        (length.value * expansion, rise),
        (length.value * rise.value / _MILLION, each),
    )


def rise_for(formula: str, terms: Sequence[Term]) -> Term:
    """How much hotter a length must be to be longer by so much."""
    if _kinds(terms) != [_LENGTH, _LENGTH, ()]:
        raise FormulaError(
            "'rise_for' in the formula takes a length, by how much it is to grow, and the "
            "expansion in millionths per kelvin, such as rise_for(bore, grip + '0.05 mm', 11.5)."
        )
    length, grow, each = terms
    whole = length.value * _expansion(formula, each)
    if whole == 0:
        raise FormulaError(problem("divides_by_zero", formula=formula))
    rise = grow.value / whole
    return follow(
        rise,
        _RISE,
        (-rise / length.value, length),
        (1 / whole, grow),
        (-rise / each.value, each),
    )


FUNCTIONS: Mapping[str, Callable[[str, Sequence[Term]], Term]] = {
    "at_20": at_20,
    "growth": growth,
    "rise_for": rise_for,
}
"""By their names in a formula, which each gets for its sentences."""
