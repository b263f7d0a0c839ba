"""Arithmetic on values in SI base units that carries their uncertainties along, first order.

Every operation also gives how strongly its result follows each operand, so the parts of the
operands' uncertainties become those of the result (GUM 5.1.3).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from assistant.quantities.propagation import Parts, weighted
from assistant.quantities.roots import square_root
from assistant.quantities.units import Powers


@dataclass(frozen=True)
class Term:
    """A value in SI base units with its dimensions; a temperature in kelvins from zero.

    ``parts`` are its standard uncertainties by source, None where one is not known; ``steps``
    the steps in which the readings in it were stated, times how strongly it follows them.
    """

    value: Fraction
    powers: Powers = ()
    parts: Parts | None = field(default_factory=dict)
    steps: Parts = field(default_factory=dict)


def follow(value: Fraction, powers: Powers, *operands: tuple[Fraction, Term]) -> Term:
    """A result that follows each operand by a factor."""
    parts = weighted((factor, term.parts) for factor, term in operands)
    steps = weighted((factor, term.steps) for factor, term in operands)
    return Term(value, powers, parts, steps or {})


def added(a: Term, b: Term, sign: int = 1, powers: Powers | None = None) -> Term:
    """``a + b``, or ``a - b`` for sign -1; dimensions as of ``a`` unless given."""
    value = a.value + sign * b.value
    return follow(
        value, a.powers if powers is None else powers, (Fraction(1), a), (Fraction(sign), b)
    )


def times(a: Term, b: Term) -> Term:
    """``a * b``."""
    return follow(a.value * b.value, _product(a.powers, b.powers, 1), (b.value, a), (a.value, b))


def over(a: Term, b: Term) -> Term:
    """``a / b``; ``b`` is not zero."""
    value = a.value / b.value
    return follow(value, _product(a.powers, b.powers, -1), (1 / b.value, a), (-value / b.value, b))


def scaled(a: Term, factor: Fraction) -> Term:
    """``a`` times a plain number."""
    return follow(a.value * factor, a.powers, (factor, a))


def mean_of(terms: Sequence[Term]) -> Term:
    """Arithmetic mean."""
    share = Fraction(1, len(terms))
    value = sum((t.value for t in terms), Fraction(0)) * share
    return follow(value, terms[0].powers, *((share, t) for t in terms))


def greatest(terms: Sequence[Term]) -> Term:
    """The greatest; of several alike the first."""
    return max(terms, key=lambda t: t.value)


def least(terms: Sequence[Term]) -> Term:
    """The smallest; of several alike the last, so that a range has two readings in it."""
    return min(reversed(terms), key=lambda t: t.value)


def root(a: Term) -> Term:
    """Square root of a value of even dimensions, not below zero; exact where it ends.

    At zero the first order says nothing of the uncertainty: it is not known there.
    """
    value = square_root(a.value)
    powers = tuple((name, power // 2) for name, power in a.powers)
    if value == 0:
        known = a.parts is not None and not any(a.parts.values())
        return Term(value, powers, {} if known else None, {})
    return follow(value, powers, (1 / (2 * value), a))


def hypotenuse(a: Term, b: Term) -> Term:
    """``sqrt(a*a + b*b)``; at zero it follows each operand fully, which is the most it can."""
    value = square_root(a.value**2 + b.value**2)
    if value == 0:
        return follow(value, a.powers, (Fraction(1), a), (Fraction(1), b))
    return follow(value, a.powers, (a.value / value, a), (b.value / value, b))


def even(powers: Powers) -> bool:
    """Whether a square root of such dimensions is a quantity."""
    return all(power % 2 == 0 for _, power in powers)


def _product(a: Powers, b: Powers, sign: int) -> Powers:
    total = dict(a)
    for name, power in b:
        total[name] = total.get(name, 0) + sign * power
    return tuple(sorted((name, power) for name, power in total.items() if power))
