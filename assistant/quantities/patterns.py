"""The order in which fasteners of a pattern are tightened.

Fasteners are numbered clockwise round the joint from 0; for ``two_row`` row by row, each row from
the same end. All orders here are common practice of the trade, no source.

*No two ring neighbours in a row* is possible with five fasteners or more. With four, every fastener
has a single partner that is not its neighbour. So one step, between the two pairs, must go to a
neighbour (the tests prove it by trying every order): the opposite pairs come first, and that step
is in the middle.
"""

from __future__ import annotations

from math import gcd
from typing import Literal

Pattern = Literal["cross", "ring", "star", "spiral", "two_row", "given"]


def pattern_order(pattern: Pattern, count: int) -> tuple[int, ...]:
    """Indices of ``count`` fasteners in tightening order, each exactly once.

    - ``cross`` goes to the opposite fastener, then to the pair farthest from those done. An odd
      ring has no opposites and is taken as ``star``.
    - ``star`` steps round by the same stride of near half the ring.
    - ``ring`` and ``given`` follow the numbering.
    - ``spiral`` takes a cover with two long sides and winds outwards from its middle.
    - ``two_row`` works outwards from the middle of two rows, crossing over each time.

    Raises:
        ValueError: there is no fastener.
    """
    if count < 1:
        raise ValueError("A pattern needs at least one fastener; list the fasteners.")
    match pattern:
        case "cross":
            return _cross(count)
        case "star":
            return _star(count)
        case "spiral":
            return _spiral(count)
        case "two_row":
            return _two_row(count)
        case "ring" | "given":
            return tuple(range(count))


def _gap(a: int, b: int, around: int) -> int:
    away = abs(a - b) % around
    return min(away, around - away)


def _cross(count: int) -> tuple[int, ...]:
    if count % 2 or count < 4:
        return _star(count)
    half = count // 2
    order = [0, half]
    done = [0]
    left = list(range(1, half))
    while left:
        # farthest from every pair done, then from the last pair, then the lowest number
        pair = max(
            left,
            key=lambda p: (min(_gap(p, d, half) for d in done), _gap(p, done[-1], half), -p),
        )
        left.remove(pair)
        done.append(pair)
        # a neighbour of the last one only for four: pair half-1 right after pair 0 (tests, to 60)
        order += [pair, pair + half]
    return tuple(order)


def _star(count: int) -> tuple[int, ...]:
    half = count // 2
    strides = [s for s in range(2, half + 1) if gcd(s, count) == 1]
    if strides:
        return tuple(i * strides[-1] % count for i in range(count))
    # four and six have no such stride
    return _cross(count) if count in (4, 6) else tuple(range(count))


def _spiral(count: int) -> tuple[int, ...]:
    """Two long sides, numbered clockwise: the near side left to right, the far side back."""
    near = (count + 1) // 2
    far = count - near
    places: list[tuple[int, int, int]] = []
    for index in range(count):
        on_near = index < near
        # twice the distance from the middle, so that half columns stay whole numbers
        x = 2 * index - (near - 1) if on_near else (far - 1) - 2 * (index - near)
        turn = (1 if on_near else 0) if x < 0 else (2 if on_near else 3)
        places.append((abs(x), turn, index))
    return tuple(index for _, _, index in sorted(places))


def _two_row(count: int) -> tuple[int, ...]:
    row = (count + 1) // 2
    order: list[int] = []
    for turn, place in enumerate(_outwards(row)):
        pair = [place, row + place]
        # enter the next column on the side just left, so that every column is crossed
        order += [i for i in (pair if turn % 2 == 0 else reversed(pair)) if i < count]
    return tuple(order)


def _outwards(length: int) -> tuple[int, ...]:
    """The places of a row from the middle, alternately to both sides."""
    middle = (length - 1) // 2
    return tuple(sorted(range(length), key=lambda i: (abs(i - middle), i < middle)))
