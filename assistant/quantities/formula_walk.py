"""Computes a parsed formula node by node, over a short list of allowed nodes and functions."""

from __future__ import annotations

import ast
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from assistant.quantities.alignment_terms import FUNCTIONS as OF_ALIGNMENT
from assistant.quantities.amount import parse_amount
from assistant.quantities.bolt_terms import FUNCTIONS as OF_BOLTS
from assistant.quantities.formula_error import FormulaError
from assistant.quantities.heat_terms import FUNCTIONS as OF_HEAT
from assistant.quantities.problem import problem
from assistant.quantities.propagation import Estimate, Parts, UncertaintySource
from assistant.quantities.terms import (
    Term,
    added,
    even,
    follow,
    greatest,
    hypotenuse,
    least,
    mean_of,
    over,
    root,
    scaled,
    times,
)
from assistant.quantities.trigonometry import PI, cosine, sine
from assistant.quantities.units import Powers, UnitError, convert, difference_unit, powers, scale

_DEEPEST = 20
_LARGEST_EXPONENT = 30  # keeps 1e-999999999 from filling the memory with zeros
_FUNCTIONS = (
    "min", "max", "abs", "mean", "half", "sqrt", "hypot", "sin", "cos", *OF_HEAT, *OF_ALIGNMENT,
    *OF_BOLTS,
)  # fmt: skip
TEMPERATURE = powers("degC")
_DIFFERENCE = powers("delta_degC")
_ANGLE = powers("deg")
ZERO_CELSIUS = Fraction("273.15")  # in kelvins, exact by definition


@dataclass(frozen=True)
class FormulaWalk:
    """Computes one formula; ``unit`` is only named in what is said of a fault."""

    formula: str
    inputs: Mapping[str, Estimate]
    unit: str

    def term(self, node: ast.expr, depth: int = 0) -> Term:
        """The value of ``node``, which is ``depth`` nodes deep.

        Raises:
            FormulaError: something in it is unknown, not allowed or of another kind.
        """
        if depth > _DEEPEST:
            raise FormulaError("The formula has too many brackets inside each other; split it.")
        match node:
            case ast.Constant():
                return self._constant(node)
            case ast.Name(id=name):
                if name not in self.inputs:
                    known = ", ".join(self.inputs) or "none"
                    raise FormulaError(f"'{name}' is not an input of the formula; it has: {known}.")
                return _term(self.inputs[name], name)
            case ast.UnaryOp(op=ast.USub(), operand=inner):
                return self._scaled(self.term(inner, depth + 1), Fraction(-1))
            case ast.UnaryOp(op=ast.UAdd(), operand=inner):
                return self.term(inner, depth + 1)
            case ast.BinOp(left=left, op=op, right=right):
                return self._joined(self.term(left, depth + 1), op, self.term(right, depth + 1))
            case ast.Call(func=ast.Name(id=name), args=args, keywords=[]) if args:
                return self._called(name, [self.term(arg, depth + 1) for arg in args])
        raise self._foreign()

    def _constant(self, node: ast.Constant) -> Term:
        match node.value:
            case bool():
                raise self._foreign()
            case int(whole):
                return Term(Fraction(whole))
            case float():
                # the digits as written, since 0.1 has no exact binary value
                text = ast.get_source_segment(self.formula.strip(), node) or ""
                number = Decimal(text)
                if abs(number.adjusted()) > _LARGEST_EXPONENT:
                    raise FormulaError(f"The number {text} is out of all proportion; check it.")
                return Term(Fraction(number))
            case str(text):
                try:
                    return _term(Estimate(parse_amount(text), {}))
                except UnitError as fault:
                    raise FormulaError(str(fault)) from None
        raise self._foreign()

    def _joined(self, a: Term, op: ast.operator, b: Term) -> Term:
        match op:
            case ast.Add() | ast.Sub() if TEMPERATURE in (a.powers, b.powers):
                return self._with_temperature(a, op, b)
            case ast.Add() | ast.Sub():
                self._same((a, b))
                return added(a, b, 1 if isinstance(op, ast.Add) else -1)
            case ast.Mult() | ast.Div() if TEMPERATURE in (a.powers, b.powers):
                raise self._no_temperature()
            case ast.Mult():
                return times(a, b)
            case ast.Div():
                if b.value == 0:
                    raise FormulaError(problem("divides_by_zero", formula=self.formula))
                return over(a, b)
        raise self._foreign()

    def _with_temperature(self, a: Term, op: ast.Add | ast.Sub, b: Term) -> Term:
        """Temperature less temperature is a difference; with a difference it is a temperature."""
        match a.powers, op, b.powers:
            case one, ast.Sub(), other if one == other:
                return added(a, b, -1, _DIFFERENCE)
            case one, _, other if (one, other) == (TEMPERATURE, _DIFFERENCE):
                return added(a, b, 1 if isinstance(op, ast.Add) else -1)
            case one, ast.Add(), other if (one, other) == (_DIFFERENCE, TEMPERATURE):
                return added(a, b, 1, TEMPERATURE)
            case one, ast.Add(), other if one == other:
                raise self._no_temperature()
        raise mixed_kinds(self.formula, self.unit)

    def _called(self, name: str, terms: list[Term]) -> Term:
        if name not in _FUNCTIONS:
            raise self._foreign()
        if name in OF_HEAT:
            return OF_HEAT[name](self.formula, terms)
        if name in OF_BOLTS:
            return OF_BOLTS[name](self.formula, terms)
        if name in OF_ALIGNMENT:
            return OF_ALIGNMENT[name](self.formula, terms)
        if name in ("sin", "cos"):
            return self._of_angle(name, terms)
        takes = {"abs": 1, "half": 1, "sqrt": 1, "hypot": 2}.get(name, len(terms))
        if len(terms) != takes:
            counted = "one value" if takes == 1 else "two values"
            raise FormulaError(f"'{name}' in the formula takes {counted}, not {len(terms)}.")
        self._same(tuple(terms))
        match name:
            case "min":
                return least(terms)
            case "max":
                return greatest(terms)
            case "mean":
                return mean_of(terms)
            case "abs":
                return self._scaled(terms[0], Fraction(-1 if terms[0].value < 0 else 1))
            case "sqrt":
                return self._root(terms[0])
            case "hypot" if terms[0].powers != TEMPERATURE:
                return hypotenuse(terms[0], terms[1])
            case "hypot":
                raise self._no_temperature()
        return self._scaled(terms[0], Fraction(1, 2))

    def _root(self, term: Term) -> Term:
        if term.value < 0:
            raise FormulaError(problem("root_of_negative", formula=self.formula))
        if not even(term.powers):
            raise FormulaError(
                f"'{self.formula}' has a square root that gives no quantity; hypot(a, b) is "
                "sqrt(a*a + b*b)."
            )
        return root(term)

    def _of_angle(self, name: str, terms: list[Term]) -> Term:
        if [t.powers for t in terms] != [_ANGLE]:
            raise FormulaError(f"'{name}' in the formula takes one angle, in deg.")
        angle, per_degree = terms[0], PI / 180
        if name == "sin":
            return follow(sine(angle.value), (), (cosine(angle.value) * per_degree, angle))
        return follow(cosine(angle.value), (), (-sine(angle.value) * per_degree, angle))

    def _scaled(self, term: Term, factor: Fraction) -> Term:
        if term.powers == TEMPERATURE:
            raise self._no_temperature()
        return scaled(term, factor)

    def _same(self, terms: tuple[Term, ...]) -> None:
        if any(term.powers != terms[0].powers for term in terms):
            raise mixed_kinds(self.formula, self.unit)

    def _no_temperature(self) -> FormulaError:
        return FormulaError(
            f"'{self.formula}' computes with temperatures; only min, max and mean take those, and "
            "the difference of two."
        )

    def _foreign(self) -> FormulaError:
        return FormulaError(
            f"A formula takes names, numbers, + - * / and {', '.join(_FUNCTIONS)}, which "
            f"'{self.formula}' goes beyond."
        )


def mixed_kinds(formula: str, unit: str) -> FormulaError:
    """Quantities of different kinds were mixed, or the result is not in ``unit``."""
    return FormulaError(
        f"'{formula}' mixes quantities of different kinds, or does not give '{unit}'; check it."
    )


def _term(one: Estimate, name: str = "") -> Term:
    unit = one.amount.unit
    dims: Powers = powers(unit)
    base = scale(difference_unit(unit))
    value = one.amount.value * scale(unit)
    if dims == TEMPERATURE:
        value = convert(one.amount.value, unit, "degC") + ZERO_CELSIUS
    parts: Parts | None = None
    if one.parts is not None:
        parts = {source: part * base for source, part in one.parts.items()}
    steps = {UncertaintySource("", name): abs(one.step) * base} if one.step else {}
    return Term(value, dims, parts, steps)
