"""Which shims to put in: the fewest from a real stock that bring a gap between its limits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits
from assistant.quantities.units import same_dimension

_MOST_STACKS = 50_000  # different thicknesses kept in mind; a workshop's stock gives hundreds

_Stack = tuple[Fraction, ...]


@dataclass(frozen=True)
class ShimStock:
    """``count`` shims of one thickness."""

    size: Amount
    count: int


@dataclass(frozen=True)
class ShimStack:
    """Chosen shims, thickest first; ``total`` thick, leaving the gap ``result``."""

    shims: tuple[Amount, ...]
    total: Amount
    result: Amount


def choose_shims(gap: Amount, limits: Limits, stock: Sequence[ShimStock]) -> ShimStack | str:
    """Choose shims so that ``gap`` minus their thickness lies within ``limits``.

    Args:
        gap: the measured gap without any shim; exact.
        limits: the permissible gap that remains; both ends are needed, to know the middle.
        stock: what lies on the bench; every shim is used at most as often as it is there.

    Returns:
        Of all possible stacks one with the fewest shims; among those the one whose result is
        nearest the middle of the limits (a tie goes to the smaller gap), then thick shims before
        thin. No shim at all is a stack too. One sentence when there is none.

    The search is exact: it walks over every total thickness that the stock can give and keeps the
    fewest shims for each.
    """
    unit = gap.unit
    lower, upper = limits.lower, limits.upper
    if lower is None or upper is None:
        return "Shims are chosen to the middle of two limits; give a lower and an upper one."
    if not all(same_dimension(a.unit, "mm") for a in (gap, lower, upper, *(s.size for s in stock))):
        return "Gap, limits and shims must all be lengths; check their units."
    if any(s.size.value <= 0 or s.count < 0 for s in stock):
        return "A shim in the stock has no thickness or a count below zero; correct the stock."
    start = gap.value
    low, high = lower.to(unit).value, upper.to(unit).value
    if low > high:
        return f"The limits {limits} are upside down; check them."
    if start < low:
        return f"The gap {gap} is under {lower} without any shim; no shim can open it."
    pieces = sorted(
        ((s.size.to(unit).value, s) for s in stock if s.count), key=lambda p: p[0], reverse=True
    )
    fewest: dict[Fraction, _Stack] = {Fraction(0): ()}
    for size, kind in pieces:
        fewest = _with_more(fewest, size, kind.count, start - low)
        if len(fewest) > _MOST_STACKS:
            return "The stock gives too many different stacks; choose from fewer thicknesses."
    middle = (low + high) / 2
    fitting = [(total, stack) for total, stack in fewest.items() if low <= start - total <= high]
    if not fitting:
        return (
            f"No stack of the shims in stock brings the gap {gap} to {limits}; "
            "get other shims or check the measurement."
        )
    total, stack = min(
        fitting,
        key=lambda f: (
            len(f[1]),
            abs(start - f[0] - middle),
            start - f[0],
            tuple(-size for size in f[1]),
        ),
    )
    names: dict[Fraction, Amount] = {}
    for size, kind in pieces:
        names.setdefault(size, kind.size)
    return ShimStack(
        tuple(names[size] for size in stack), Amount(total, unit), Amount(start - total, unit)
    )


def _with_more(
    fewest: dict[Fraction, _Stack], size: Fraction, count: int, most: Fraction
) -> dict[Fraction, _Stack]:
    """All stacks with up to ``count`` further shims of ``size``, none thicker than ``most``."""
    grown = dict(fewest)
    for total, stack in fewest.items():
        if len(grown) > _MOST_STACKS:
            break
        for number in range(1, count + 1):
            higher = total + number * size
            if higher > most:
                break
            longer = stack + (size,) * number
            known = grown.get(higher)
            if known is None or _better(longer, known):
                grown[higher] = longer
    return grown


def _better(a: _Stack, b: _Stack) -> bool:
    """Whether ``a`` has fewer shims than ``b``, or as many and thicker ones first."""
    return (len(a), tuple(-s for s in a)) < (len(b), tuple(-s for s in b))
