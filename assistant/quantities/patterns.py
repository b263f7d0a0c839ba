"""The order in which fasteners of a pattern are tightened.

Fasteners are numbered clockwise round the joint from 0. All orders here are common practice of
the trade, no source.
"""

from __future__ import annotations

from itertools import pairwise
from math import gcd
from typing import Literal

Pattern = Literal["cross", "ring", "star", "spiral", "two_row", "given"]


def pattern_order(pattern: Pattern, count: int) -> tuple[int, ...]:
    """Indices of ``count`` fasteners in tightening order, each exactly once.

    ``cross`` goes to the opposite fastener, then to one a quarter turn on; ``star`` steps round
    by the same near-half stride; ``ring`` and ``given`` follow the numbering; ``spiral`` and
    ``two_row`` begin in the middle and work outwards.

    Raises:
        ValueError: there is no fastener.
    """
    if count < 1:
        raise ValueError("A pattern needs at least one fastener.")
    match pattern:
        case "cross":
            return _cross(count)
        case "star":
            return _star(count)
        case "spiral":
            return _outwards(count)
        case "two_row":
            return _two_row(count)
        case "ring" | "given":
            return tuple(range(count))


def _cross(count: int) -> tuple[int, ...]:
    """Opposite pairs; the next pair is the one furthest from those done.

    With four fasteners the step between the pairs is to a neighbour, as it must be; from five on
    no two neighbours follow each other.
    """
    if count <= 3:
        return tuple(range(count))
    if count % 2:
        return _star(count)
    half = count // 2
    pairs = [(i, i + half) for i in range(half)]
    order: list[int] = list(pairs.pop(0))
    while pairs:

        best = max(pairs, key=lambda p, done=tuple(order): (_nearest(p[0], done, count), -p[0]))
        pairs.remove(best)
        # enter the pair at the end that is no neighbour of the fastener just done
        first, second = best
        if _gap(second, order[-1], count) > _gap(first, order[-1], count):
            first, second = second, first
        order += [first, second]
    return _without_neighbours(tuple(order), count)


def _nearest(place: int, done: tuple[int, ...], count: int) -> int:
    return min(_gap(place, other, count) for other in done)


def _without_neighbours(order: tuple[int, ...], count: int) -> tuple[int, ...]:
    if count < 5 or all(_gap(a, b, count) > 1 for a, b in pairwise(order)):
        return order
    return _star(count)


def _star(count: int) -> tuple[int, ...]:
    """A constant stride near half the ring that shares no factor with the count."""
    if count <= 3:
        return tuple(range(count))
    if count == 4:
        return (0, 2, 1, 3)
    half = count // 2
    strides = [s for s in range(2, count - 1) if gcd(s, count) == 1]
    if strides:
        stride = min(strides, key=lambda s: (abs(s - half), s))
        return tuple(i * stride % count for i in range(count))
    # six alone has no such stride: two triangles, joined across
    return (0, 2, 4, 1, 3, 5)


def _gap(a: int, b: int, count: int) -> int:
    away = abs(a - b) % count
    return min(away, count - away)


def _outwards(count: int) -> tuple[int, ...]:
    """From the middle of a row, alternately to both sides."""
    middle = (count - 1) // 2
    return tuple(sorted(range(count), key=lambda i: (abs(i - middle), i < middle)))


def _two_row(count: int) -> tuple[int, ...]:
    """Two rows numbered one after the other: from the middle out, crossing between the rows."""
    row = (count + 1) // 2
    order: list[int] = []
    for place in _outwards(row):
        order += [i for i in (place, row + place) if i < count]
    return tuple(order)
