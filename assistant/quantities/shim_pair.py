"""Two stacks out of one box, chosen together: left and right of a carrier.

Chosen one after the other, the first may take the only shims that would have done for the second.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import floor, lcm

from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits
from assistant.quantities.problem import Problem, problem
from assistant.quantities.propagation import rounded
from assistant.quantities.shims import ShimGap, ShimStack, ShimStock, choose_shims, without

_MOST_PAIRS = 25_000  # pairs of thicknesses kept in mind; a workshop's box gives hundreds

_Stack = tuple[int, ...]
_Pair = tuple[_Stack, _Stack]


@dataclass(frozen=True)
class ShimSide:
    """One of the two gaps, and the limits of what is left of it.

    With ``guarded`` nothing may be nearer to a limit than the gap's uncertainty.
    """

    gap: ShimGap
    limits: Limits
    guarded: bool = False


@dataclass(frozen=True)
class NoOtherStack:
    """The other side could not be shimmed even by itself, and ``why``."""

    why: Problem


@lru_cache(maxsize=32)  # asked for again at every look at the state
def choose_pair(
    one: ShimSide, other: ShimSide, stock: tuple[ShimStock, ...]
) -> tuple[ShimStack, ShimStack] | Problem | NoOtherStack:
    """Choose shims for both gaps out of one ``stock``, each shim once.

    Returns:
        The best pair, by these rules in turn; what stands in the way where there is none.

        1. As many sides as can be keep clear of their limits by U.
        2. The worse side is nearest to its middle, counted in halves of its tolerance; pairs less
           than U apart count as equal.
        3. The fewest shims.
        4. Again the nearest to the middle, the worse side first; then thick shims before thin.

    The search is exact: it walks over every pair of thicknesses that the stock can give, and keeps
    the fewest shims for each. Of a box too rich for that, each side is chosen by itself.
    """
    sides = (one, other)
    first, second = (choose_shims(s.gap, s.limits, stock, guarded=s.guarded) for s in sides)
    if isinstance(second, Problem):
        return NoOtherStack(second)
    if isinstance(first, Problem):
        return first
    scale = _Scale.of(stock)
    ranges = [_Range.of(side, scale.unit) for side in sides]
    found = _pairs(_pieces(stock, scale), [scale.window(r) for r in ranges])
    if found is None:
        return _in_turn(one, other, stock)
    best = _best(found, ranges, scale)
    if best is None:
        return problem("shims_no_pair", **{
            f"{key}_{name}": rounded(value, None) if key == "gap" else value
            for name, side in zip(("one", "other"), sides, strict=True)
            for key, value in (("gap", side.gap.size), ("lower", side.limits.lower),
                               ("upper", side.limits.upper))
            if value is not None
        })  # fmt: skip
    left, right = (
        _as_stack(sizes, side, scale, stock) for sizes, side in zip(best, sides, strict=True)
    )
    return left, right


@dataclass(frozen=True)
class _Scale:
    """All shims as whole numbers of ``1 / parts`` of ``unit``."""

    unit: str
    parts: int

    @staticmethod
    def of(stock: Sequence[ShimStock]) -> _Scale:
        unit = stock[0].size.unit if stock else "mm"
        return _Scale(unit, lcm(*(s.size.to(unit).value.denominator for s in stock)))

    def window(self, side: _Range) -> tuple[int, int]:
        """The thinnest and the thickest stack that may do."""
        return -floor(-side.thinnest * self.parts), floor(side.thickest * self.parts)


@dataclass(frozen=True)
class _Range:
    """What a side allows, exact and in one unit; ``guard`` is its uncertainty U."""

    start: Fraction
    low: Fraction
    high: Fraction
    guard: Fraction
    opens: bool
    guarded: bool

    @staticmethod
    def of(side: ShimSide, unit: str) -> _Range:
        lower, upper = side.limits.lower, side.limits.upper
        assert lower is not None  # else there is no stack for the side alone
        assert upper is not None
        sure = side.gap.uncertainty
        return _Range(
            side.gap.size.to(unit).value,
            lower.to(unit).value,
            upper.to(unit).value,
            Fraction(0) if sure is None else abs(sure.difference_to(unit)),
            side.gap.opens,
            side.guarded,
        )

    @property
    def thinnest(self) -> Fraction:
        return max(Fraction(0), self.low - self.start if self.opens else self.start - self.high)

    @property
    def thickest(self) -> Fraction:
        return self.high - self.start if self.opens else self.start - self.low

    def left(self, total: Fraction) -> Fraction:
        """What is left of the gap."""
        return self.start + total if self.opens else self.start - total

    def clear(self, left: Fraction) -> bool:
        return self.low + self.guard <= left <= self.high - self.guard

    def share(self, size: Fraction) -> Fraction:
        """``size`` in halves of the tolerance."""
        half = (self.high - self.low) / 2
        return size / half if half else Fraction(0)

    def off(self, left: Fraction) -> Fraction:
        return self.share(abs(left - (self.low + self.high) / 2))


def _pieces(stock: Sequence[ShimStock], scale: _Scale) -> list[tuple[int, int]]:
    """(thickness, how many), thickest first."""
    counts: dict[int, int] = {}
    for shim in stock:
        size = int(shim.size.to(scale.unit).value * scale.parts)
        counts[size] = counts.get(size, 0) + shim.count
    return sorted(((size, n) for size, n in counts.items() if n), reverse=True)


def _pairs(
    pieces: Sequence[tuple[int, int]], windows: Sequence[tuple[int, int]]
) -> Mapping[tuple[int, int], _Pair] | None:
    """The fewest shims for every pair of thicknesses in the windows; None when too many."""
    (low, high), (other_low, other_high) = windows
    found: dict[tuple[int, int], _Pair] = {(0, 0): ((), ())}
    rest = sum(size * count for size, count in pieces)
    for size, count in pieces:
        rest -= size * count
        grown: dict[tuple[int, int], _Pair] = {}
        for (left, right), pair in found.items():
            for a, b in _shares(count):
                totals = left + a * size, right + b * size
                if totals[0] > high or totals[1] > other_high:
                    continue
                short = max(0, low - totals[0]) + max(0, other_low - totals[1])
                if short > rest:
                    continue  # what is left of the box cannot make up for it
                longer = pair[0] + (size,) * a, pair[1] + (size,) * b
                known = grown.get(totals)
                if known is None or _order(longer) < _order(known):
                    grown[totals] = longer
        found = grown
        if len(found) > _MOST_PAIRS:
            return None
    return {t: p for t, p in found.items() if t[0] >= low and t[1] >= other_low}


def _shares(count: int) -> Iterable[tuple[int, int]]:
    """How so many shims may go to the two sides, or stay in the box."""
    return ((a, b) for a in range(count + 1) for b in range(count + 1 - a))


def _order(pair: _Pair) -> tuple[int, _Stack, _Stack]:
    """Fewest shims first, then thick before thin."""
    one, other = (tuple(-size for size in stack) for stack in pair)
    return len(one) + len(other), one, other


def _best(
    found: Mapping[tuple[int, int], _Pair], ranges: Sequence[_Range], scale: _Scale
) -> _Pair | None:
    """The best of the pairs by the rules of :func:`choose_pair`."""
    judged: list[tuple[int, Fraction, Fraction, _Pair]] = []
    for totals, pair in found.items():
        left = [r.left(Fraction(t, scale.parts)) for r, t in zip(ranges, totals, strict=True)]
        unclear = [r for r, size in zip(ranges, left, strict=True) if not r.clear(size)]
        if any(r.guarded for r in unclear):
            continue
        off = sorted(r.off(size) for r, size in zip(ranges, left, strict=True))
        judged.append((len(unclear), off[1], off[0], pair))
    if not judged:
        return None
    clearest = min(unclear for unclear, *_ in judged)
    kept = [j for j in judged if j[0] == clearest]
    near = min(worse for _, worse, _, _ in kept) + max(r.share(r.guard) for r in ranges)
    return min(
        (j for j in kept if j[1] <= near),
        key=lambda j: (_order(j[3])[0], j[1], j[2], _order(j[3])),
    )[3]


def _as_stack(
    sizes: _Stack, side: ShimSide, scale: _Scale, stock: Sequence[ShimStock]
) -> ShimStack:
    """The stack of one side as it is said, in the unit of its gap."""
    names = {s.size.to(scale.unit).value * scale.parts: s.size for s in reversed(stock)}
    total = Amount(Fraction(sum(sizes), scale.parts), scale.unit).to(side.gap.size.unit)
    start = side.gap.size
    left = start.value + total.value if side.gap.opens else start.value - total.value
    return ShimStack(
        tuple(names[Fraction(size)] for size in sizes),
        Amount(total.value, start.unit),
        Amount(left, start.unit),
    )


def _in_turn(
    one: ShimSide, other: ShimSide, stock: Sequence[ShimStock]
) -> tuple[ShimStack, ShimStack] | Problem:
    """The first by itself, and the other from what it leaves in the box."""
    first = choose_shims(one.gap, one.limits, stock, guarded=one.guarded)
    if isinstance(first, Problem):
        return first
    left = without(stock, first.shims)
    second = choose_shims(other.gap, other.limits, left, guarded=other.guarded)
    return second if isinstance(second, Problem) else (first, second)
