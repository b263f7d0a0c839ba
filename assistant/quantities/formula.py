"""A small, safe evaluator of unit-checked formulas over amounts.

Formulas are parsed by Python's own ``ast`` and walked node by node; nothing is ever executed.
Numbers without a unit are plain factors.
"""

from __future__ import annotations

import ast
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import pint

from assistant.quantities.amount import Amount
from assistant.quantities.units import UNITS, UnitError, registry

_LONGEST = 200
_DEEPEST = 20
_FUNCTIONS = ("min", "max", "abs", "mean", "half")


class FormulaError(ValueError):
    """A formula cannot be computed; the message is one sentence."""


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

    Raises:
        FormulaError: unknown name, wrong dimension, division by zero, or no formula at all.
    """
    tree = _parse(formula)
    try:
        result = _walk(tree, inputs, 0)
        if not isinstance(result, registry.Quantity):
            result = registry.Quantity(Fraction(result), "dimensionless")
        value = result.to(registry.Unit(UNITS[unit])).magnitude
    except pint.DimensionalityError:
        raise FormulaError(
            f"'{formula}' mixes quantities of different kinds, or does not give '{unit}'."
        ) from None
    except ZeroDivisionError:
        raise FormulaError(f"'{formula}' divides by zero with these readings.") from None
    except KeyError:
        raise UnitError(f"'{unit}' is not a known unit.") from None
    return Amount(Fraction(value), unit)


def _parse(formula: str) -> ast.expr:
    if len(formula) > _LONGEST:
        raise FormulaError(f"A formula may have {_LONGEST} characters at most.")
    try:
        return ast.parse(formula, mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        raise FormulaError(f"'{formula}' is not a formula; use + - * / and brackets.") from None


def _walk(node: ast.expr, inputs: Mapping[str, Amount], depth: int) -> Any:
    if depth > _DEEPEST:
        raise FormulaError("The formula is nested too deeply.")

    def go(inner: ast.expr) -> Any:
        return _walk(inner, inputs, depth + 1)

    match node:
        case ast.Constant(value=int() | float() as number) if not isinstance(number, bool):
            return Fraction(str(number))
        case ast.Name(id=name):
            if name not in inputs:
                raise FormulaError(f"The formula's '{name}' is not among its inputs.")
            amount = inputs[name]
            return registry.Quantity(amount.value, registry.Unit(UNITS[amount.unit]))
        case ast.UnaryOp(op=ast.USub(), operand=inner):
            return -go(inner)
        case ast.BinOp(left=left, op=op, right=right):
            a, b = go(left), go(right)
            match op:
                case ast.Add():
                    return a + b
                case ast.Sub():
                    return a - b
                case ast.Mult():
                    return a * b
                case ast.Div():
                    return a / b
        case ast.Call(func=ast.Name(id=name), args=args, keywords=[]) if (
            name in _FUNCTIONS and args
        ):
            values = [go(arg) for arg in args]
            match name:
                case "min":
                    return min(values)
                case "max":
                    return max(values)
                case "mean":
                    return sum(values[1:], values[0]) / Fraction(len(values))
                case "abs" if len(values) == 1:
                    return abs(values[0])
                case "half" if len(values) == 1:
                    return values[0] / Fraction(2)
        case _:
            pass
    raise FormulaError("A formula takes names, numbers, + - * / and min, max, abs, mean, half.")
