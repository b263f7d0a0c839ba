"""A small, safe evaluator of unit-checked formulas over amounts.

A formula is read by Python's own ``ast`` and walked node by node over a short list of allowed
nodes; nothing is ever executed. Values are exact and carry their base dimensions, so a length
never meets a torque. Plain numbers are factors; a constant with a unit is in quotes:
``bore - journal - '0.002 in'``. The uncertainties of the readings are carried along.
"""

from __future__ import annotations

import ast
from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache

from assistant.quantities.amount import Amount
from assistant.quantities.formula_error import FormulaError
from assistant.quantities.formula_walk import TEMPERATURE, ZERO_CELSIUS, FormulaWalk, mixed_kinds
from assistant.quantities.propagation import Estimate, UncertaintySource
from assistant.quantities.terms import Term
from assistant.quantities.units import convert, difference_unit, powers, same_dimension, scale

__all__ = ["FormulaError", "estimate", "evaluate", "names_in"]

_LONGEST = 200


def names_in(formula: str) -> frozenset[str]:
    """The names that a formula refers to, functions left out.

    Raises:
        FormulaError: the formula cannot be read.
    """
    tree = _parse(formula)
    called = {id(n.func) for n in ast.walk(tree) if isinstance(n, ast.Call)}
    return frozenset(
        n.id for n in ast.walk(tree) if isinstance(n, ast.Name) and id(n) not in called
    )


def evaluate(formula: str, inputs: Mapping[str, Amount], unit: str) -> Amount:
    """Compute ``formula`` over ``inputs`` exactly; the result is given in ``unit``.

    Allowed are ``+ - * /``, brackets, ``min max mean`` (one or more values), ``abs half`` (one),
    ``sqrt`` (one), ``hypot`` (two), ``sin cos`` (an angle), plain numbers, and amounts in quotes. A
    temperature less a temperature is a difference (``delta_degC``), which may be added to a
    temperature; else temperatures may be compared and averaged only: half of 20 degC is not 10
    degC.
    ``at_20``, ``growth`` and ``rise_for`` reckon with heat (see ``heat_terms``), ``rim_offset``,
    ``standing_offset``, ``face_slope`` and ``foot_move`` with shafts (see ``alignment_terms``).

    Square roots, sines and cosines that never end are cut after 30 figures.

    Raises:
        FormulaError: unknown name, wrong dimension, division by zero, or no formula at all.
        UnitError: ``unit`` is not a known unit code.
    """
    return estimate(formula, {n: Estimate(a, {}) for n, a in inputs.items()}, unit).amount


def estimate(formula: str, inputs: Mapping[str, Estimate], unit: str) -> Estimate:
    """As :func:`evaluate`, with the uncertainty of the result and the step it is stated in.

    The step is the finest of the readings of its own kind; where there is none, the finest that
    the others make in it.
    """
    wanted = powers(unit)
    result = FormulaWalk(formula, inputs, unit).term(_parse(formula))
    if result.powers != wanted:
        raise mixed_kinds(formula, unit)
    base = scale(difference_unit(unit))
    parts = None
    if result.parts is not None:
        parts = {source: part / base for source, part in result.parts.items()}
    return Estimate(_amount(result, unit), parts, _step(result, inputs, unit, base))


def _amount(result: Term, unit: str) -> Amount:
    if result.powers == TEMPERATURE:
        return Amount(convert(result.value - ZERO_CELSIUS, "degC", unit), unit)
    return Amount(result.value / scale(unit), unit)


def _step(
    result: Term, inputs: Mapping[str, Estimate], unit: str, base: Fraction
) -> Fraction | None:
    given: list[Fraction] = []
    like: list[Fraction] = []
    for name, one in inputs.items():
        reached = abs(result.steps.get(UncertaintySource("", name), Fraction(0))) / base
        if one.step is None or reached == 0:
            continue
        given.append(reached)
        own = difference_unit(one.amount.unit)
        if same_dimension(own, difference_unit(unit)):
            like.append(abs(one.step) * scale(own) / base)
    return min(like or given, default=None)


@lru_cache(maxsize=256)
def _parse(formula: str) -> ast.expr:
    if len(formula) > _LONGEST:
        raise FormulaError(
            f"The formula has {len(formula)} characters; shorten it to {_LONGEST} or split it."
        )
    try:
        return ast.parse(formula.strip(), mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        raise FormulaError(f"'{formula}' is not a formula; write 'bore - journal'.") from None
