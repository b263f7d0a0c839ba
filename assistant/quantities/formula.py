"""A small, safe evaluator of unit-checked formulas over amounts.

A formula is read by Python's own ``ast`` and walked node by node over a short list of allowed
nodes; nothing is ever executed. Values are exact and carry their base dimensions, so a length
never meets a torque. Plain numbers are factors; a constant with a unit stands in quotes:
``bore - journal - '0.002 in'``.
"""

from __future__ import annotations

import ast
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from assistant.quantities.amount import Amount, parse_amount
from assistant.quantities.correction import at_reference
from assistant.quantities.units import UnitError, convert, dimension, powers, scale

_LONGEST = 200
_DEEPEST = 20
_LARGEST_EXPONENT = 30  # keeps 1e-999999999 from filling the memory with zeros
_FUNCTIONS = ("min", "max", "abs", "mean", "half", "at_20")
_TEMPERATURE = dimension("degC")
_MOST_EXPANSION = 300  # millionths per kelvin; no solid in a workshop grows more
_ZERO_C = Fraction("273.15")  # in kelvins, exact by definition

_Powers = tuple[tuple[str, int], ...]


class FormulaError(ValueError):
    """A formula cannot be computed; the message is one sentence."""


@dataclass(frozen=True)
class _Term:
    """A value in SI base units with its dimensions; a temperature in kelvins from zero."""

    value: Fraction
    powers: _Powers = ()

    @property
    def is_temperature(self) -> bool:
        return " ".join(f"{name}^{power}" for name, power in self.powers) == _TEMPERATURE


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
    plain numbers, and amounts in quotes. Temperatures may be compared and averaged only: half of
    20 degC is not 10 degC. ``at_20(length, temperature, millionths)`` gives a length measured at
    ``temperature`` as it is at 20 degC (ISO 1), for an expansion of so many millionths per kelvin.

    Raises:
        FormulaError: unknown name, wrong dimension, division by zero, or no formula at all.
        UnitError: ``unit`` is not a known unit code.
    """
    wanted = powers(unit)
    result = _Walk(formula, inputs, unit).term(_parse(formula), 0)
    if result.powers != wanted:
        raise _mixed(formula, unit)
    if result.is_temperature:
        celsius = result.value - _ZERO_C
        return Amount(convert(celsius, "degC", unit), unit)
    return Amount(result.value / scale(unit), unit)


def _parse(formula: str) -> ast.expr:
    if len(formula) > _LONGEST:
        raise FormulaError(
            f"The formula has {len(formula)} characters; shorten it to {_LONGEST} or split it."
        )
    try:
        return ast.parse(formula.strip(), mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        raise FormulaError(f"'{formula}' is not a formula; write 'bore - journal'.") from None


@dataclass(frozen=True)
class _Walk:
    formula: str
    inputs: Mapping[str, Amount]
    unit: str

    def term(self, node: ast.expr, depth: int) -> _Term:
        if depth > _DEEPEST:
            raise FormulaError("The formula has too many brackets inside each other; split it.")
        match node:
            case ast.Constant():
                return self._constant(node)
            case ast.Name(id=name):
                if name not in self.inputs:
                    known = ", ".join(self.inputs) or "none"
                    raise FormulaError(f"'{name}' is no input of the formula; it has: {known}.")
                return _term(self.inputs[name])
            case ast.UnaryOp(op=ast.USub(), operand=inner):
                return self._scaled(self.term(inner, depth + 1), Fraction(-1))
            case ast.UnaryOp(op=ast.UAdd(), operand=inner):
                return self.term(inner, depth + 1)
            case ast.BinOp(left=left, op=op, right=right):
                return self._joined(self.term(left, depth + 1), op, self.term(right, depth + 1))
            case ast.Call(func=ast.Name(id=name), args=args, keywords=[]) if args:
                return self._called(name, [self.term(arg, depth + 1) for arg in args])
        raise self._foreign()

    def _constant(self, node: ast.Constant) -> _Term:
        match node.value:
            case bool():
                raise self._foreign()
            case int(whole):
                return _Term(Fraction(whole))
            case float():
                # the digits as they stand, since 0.1 has no exact binary value
                text = ast.get_source_segment(self.formula.strip(), node) or ""
                number = Decimal(text)
                if abs(number.adjusted()) > _LARGEST_EXPONENT:
                    raise FormulaError(f"The number {text} is out of all proportion; check it.")
                return _Term(Fraction(number))
            case str(text):
                try:
                    return _term(parse_amount(text))
                except UnitError as fault:
                    raise FormulaError(str(fault)) from None
        raise self._foreign()

    def _joined(self, a: _Term, op: ast.operator, b: _Term) -> _Term:
        if a.is_temperature or b.is_temperature:
            raise self._no_temperature()
        match op:
            case ast.Add() | ast.Sub():
                self._same((a, b))
                total = a.value + b.value if isinstance(op, ast.Add) else a.value - b.value
                return _Term(total, a.powers)
            case ast.Mult():
                return _Term(a.value * b.value, _product(a.powers, b.powers, 1))
            case ast.Div():
                if b.value == 0:
                    raise FormulaError(
                        f"'{self.formula}' divides by zero with these readings; measure again."
                    )
                return _Term(a.value / b.value, _product(a.powers, b.powers, -1))
        raise self._foreign()

    def _called(self, name: str, terms: list[_Term]) -> _Term:
        if name not in _FUNCTIONS:
            raise self._foreign()
        if name == "at_20":
            return self._at_reference(terms)
        if name in ("abs", "half") and len(terms) != 1:
            raise FormulaError(f"'{name}' in the formula takes one value, not {len(terms)}.")
        self._same(tuple(terms))
        values = [term.value for term in terms]
        match name:
            case "min":
                return _Term(min(values), terms[0].powers)
            case "max":
                return _Term(max(values), terms[0].powers)
            case "mean":
                return _Term(sum(values, Fraction(0)) / len(values), terms[0].powers)
            case "abs":
                return self._scaled(terms[0], Fraction(-1 if values[0] < 0 else 1))
        return self._scaled(terms[0], Fraction(1, 2))

    def _at_reference(self, terms: list[_Term]) -> _Term:
        kinds = [t.powers for t in terms]
        if kinds != [powers("mm"), powers("degC"), ()]:
            raise FormulaError(
                "'at_20' in the formula takes a length, a temperature and the expansion in "
                "millionths per kelvin, such as at_20(size, heat, 11.5)."
            )
        length, temperature, expansion = (t.value for t in terms)
        celsius = Amount(temperature - _ZERO_C, "degC")
        if not 0 <= expansion <= _MOST_EXPANSION:
            raise FormulaError(
                f"The expansion in '{self.formula}' must lie between 0 and {_MOST_EXPANSION} "
                "millionths per kelvin; steel has about 11.5."
            )
        # the correction is a factor, so that any unit of length may stand here
        size = at_reference(Amount(length, "mm"), celsius, expansion / 1_000_000)
        return _Term(size.value, terms[0].powers)

    def _scaled(self, term: _Term, factor: Fraction) -> _Term:
        if term.is_temperature:
            raise self._no_temperature()
        return _Term(term.value * factor, term.powers)

    def _same(self, terms: tuple[_Term, ...]) -> None:
        if any(term.powers != terms[0].powers for term in terms):
            raise _mixed(self.formula, self.unit)

    def _no_temperature(self) -> FormulaError:
        return FormulaError(
            f"'{self.formula}' reckons with temperatures; only min, max and mean take those."
        )

    def _foreign(self) -> FormulaError:
        return FormulaError(
            f"A formula takes names, numbers, + - * / and {', '.join(_FUNCTIONS)}, which "
            f"'{self.formula}' goes beyond."
        )


def _mixed(formula: str, unit: str) -> FormulaError:
    return FormulaError(
        f"'{formula}' mixes quantities of different kinds, or does not give '{unit}'; check it."
    )


def _term(amount: Amount) -> _Term:
    dims = powers(amount.unit)
    if dimension(amount.unit) == _TEMPERATURE:
        return _Term(convert(amount.value, amount.unit, "degC") + _ZERO_C, dims)
    return _Term(amount.value * scale(amount.unit), dims)


def _product(a: _Powers, b: _Powers, sign: int) -> _Powers:
    total = dict(a)
    for name, power in b:
        total[name] = total.get(name, 0) + sign * power
    return tuple(sorted((name, power) for name, power in total.items() if power))
