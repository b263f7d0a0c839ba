"""Which shims to put in: from a real stock those that bring a gap to the middle of its limits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits
from assistant.quantities.problem import Problem, problem
from assistant.quantities.propagation import rounded
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


@dataclass(frozen=True)
class ShimGap:
    """A gap measured without any shim; ``size`` is exact.

    ``uncertainty`` is its expanded uncertainty U. With ``opens`` the shims are under a cover, so
    that the gap grows by their thickness.
    """

    size: Amount
    uncertainty: Amount | None = None
    opens: bool = False


def without(stock: Iterable[ShimStock], taken: Iterable[Amount]) -> list[ShimStock]:
    """What is left of ``stock`` when the shims ``taken`` are out of it; sizes in any unit."""
    gone = Counter(shim.to("mm").value for shim in taken)
    left: list[ShimStock] = []
    for shim in stock:
        size = shim.size.to("mm").value
        fewer = min(gone[size], shim.count)
        gone[size] -= fewer
        left.append(ShimStock(shim.size, shim.count - fewer))
    return left


def choose_shims(
    gap: ShimGap, limits: Limits, stock: Sequence[ShimStock], *, guarded: bool = False
) -> ShimStack | Problem:
    """Choose shims so that ``gap`` minus their thickness lies within ``limits``.

    Args:
        limits: the permissible gap that remains; both ends are needed, to know the middle.
        stock: the shims on the bench; every shim is used at most as often as it is there.
        guarded: whether nothing may be nearer to a limit than U.

    Returns:
        The best stack, by these rules in turn; a problem where there is none. No shim at all is a
        stack too.

        1. Stacks that keep clear of the limits by U come first: a result nearer to a limit than U
           may be beyond it.
        2. The result nearest the middle; results less than U apart count as equal.
        3. The fewest shims.
        4. Again the nearest to the middle; a tie goes to the smaller gap.
        5. Thick shims before thin.

    The search is exact: it walks over every total thickness that the stock can give and keeps the
    fewest shims for each.
    """
    size, opens, unit = gap.size, gap.opens, gap.size.unit
    lower, upper = limits.lower, limits.upper
    if lower is None or upper is None:
        return problem("shims_need_limits")
    if not all(
        same_dimension(a.unit, "mm") for a in (size, lower, upper, *(s.size for s in stock))
    ):
        return problem("shims_are_lengths")
    if any(s.size.value <= 0 or s.count < 0 for s in stock):
        return problem("shims_stock")
    start = size.value
    low, high = lower.to(unit).value, upper.to(unit).value
    if low > high:
        return problem("limits_upside_down", lower=lower, upper=upper)
    if opens and start > high:
        return problem("shims_only_open", upper=upper)
    if not opens and start < low:
        return problem("shims_only_close", lower=lower)
    sure = gap.uncertainty
    guard = Fraction(0) if sure is None else abs(sure.difference_to(unit))
    way = 1 if opens else -1
    fewest = _stacks(unit, stock, high - start if opens else start - low)
    if fewest is None:
        return problem("shims_too_many")
    fitting = [(start + way * total, stack) for total, stack in fewest.items()]
    fitting = [(left, stack) for left, stack in fitting if low <= left <= high]
    clear = [(left, stack) for left, stack in fitting if low + guard <= left <= high - guard]
    if not clear and (guarded or not fitting):
        told = rounded(size, None)  # a mean may be no decimal
        code = "shims_uncertain" if guarded else "shims_none_fit"
        return problem(code, gap=told, lower=lower, upper=upper)
    middle = (low + high) / 2
    central = min(abs(left - middle) for left, _ in clear or fitting) + guard
    left, stack = min(
        (f for f in clear or fitting if abs(f[0] - middle) <= central),
        key=lambda f: (len(f[1]), abs(f[0] - middle), f[0], tuple(-size for size in f[1])),
    )
    names = {s.size.to(unit).value: s.size for s in reversed(stock)}
    total = (left - start) * way
    return ShimStack(tuple(names[size] for size in stack), Amount(total, unit), Amount(left, unit))


def _stacks(unit: str, stock: Sequence[ShimStock], most: Fraction) -> dict[Fraction, _Stack] | None:
    """The fewest shims for every thickness up to ``most``; None when there are too many."""
    pieces = sorted(((s.size.to(unit).value, s.count) for s in stock if s.count), reverse=True)
    fewest: dict[Fraction, _Stack] = {Fraction(0): ()}
    for size, count in pieces:
        fewest = _with_more(fewest, size, count, most)
        if len(fewest) > _MOST_STACKS:
            return None
    return fewest


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
