"""Which stretch of speech belongs to which phrase, where there are some too many or too few."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

_BAND = 3  # phrases and stretches may be out of step by this many
_WRONG, _LEFT_OUT = 1.0, 0.8


def match(
    phrases: int, stretches: int, right: Callable[[int, int], bool]
) -> tuple[int | None, ...] | None:
    """For each phrase its stretch, or None; in order. None at all when they differ too much.

    ``right(phrase, stretch)`` says whether the phrase is heard in that stretch. It is asked only
    where the numbers differ, and then only near the diagonal. The pairing with the fewest wrong
    and left-out ones is taken (an edit distance).
    """
    if phrases == stretches:
        return tuple(range(phrases))
    if abs(phrases - stretches) > _BAND:
        return None

    @cache
    def best(p: int, s: int) -> tuple[float, tuple[int | None, ...]]:
        if p == phrases:
            return _LEFT_OUT * (stretches - s), ()
        if abs(p - s) > _BAND:
            return float("inf"), (None,) * (phrases - p)
        cost, rest = best(p + 1, s)
        ways = [(cost + _LEFT_OUT, (None, *rest))]
        if s < stretches:
            cost, rest = best(p + 1, s + 1)
            ways.append((cost + (0.0 if right(p, s) else _WRONG), (s, *rest)))
            ways.append((best(p, s + 1)[0] + _LEFT_OUT, best(p, s + 1)[1]))
        return min(ways, key=lambda way: way[0])

    return best(0, 0)[1]
