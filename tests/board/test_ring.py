"""Where fasteners are drawn: as the patterns number them, and never on top of each other."""

from __future__ import annotations

from itertools import pairwise
from typing import get_args

import pytest

from assistant.board.kinds.tightening.ring import position
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.quantities.patterns import Pattern, pattern_order
from tests.board.kit import PROCEDURE


def step(pattern: str, count: int) -> TighteningStep:
    """A tightening step with ``count`` fasteners."""
    bolts = PROCEDURE.step("bolts").model_dump()
    labels = tuple(f"bolt {n}" for n in range(1, count + 1))
    return TighteningStep.model_validate({**bolts, "pattern": pattern, "fasteners": labels})


@pytest.mark.parametrize("pattern", get_args(Pattern))
@pytest.mark.parametrize("count", range(1, 25))
def test_no_two_share_a_place_and_all_lie_within(pattern: str, count: int) -> None:
    one = step(pattern, count)
    places = [position(one, n) for n in range(count)]
    assert len(set(places)) == count
    assert all(0 <= x <= 100 and 0 <= y <= 100 for x, y in places)


@pytest.mark.parametrize("count", [4, 6, 8, 12])
def test_a_ring_runs_clockwise_from_the_top(count: int) -> None:
    one = step("ring", count)
    places = [position(one, n) for n in range(count)]
    assert places[0][0] == 50.0
    assert places[0][1] == min(y for _, y in places)
    for (ax, ay), (bx, by) in pairwise(places):
        assert (ax - 50) * (by - 50) - (ay - 50) * (bx - 50) > 0  # clockwise: y points down


@pytest.mark.parametrize("count", [4, 6, 8])
def test_in_a_cross_the_second_fastener_lies_opposite_the_first(count: int) -> None:
    # Common practice, no source.
    one = step("cross", count)
    first, second = (position(one, n) for n in pattern_order("cross", count)[:2])
    assert (first[0] + second[0], first[1] + second[1]) == pytest.approx((100, 100))


@pytest.mark.parametrize("count", [4, 6, 8, 10, 14])
@pytest.mark.parametrize("pattern", ["spiral", "two_row"])
def test_covers_with_two_sides_are_tightened_from_the_middle_out(pattern: str, count: int) -> None:
    """The distance from the middle, along the sides, never falls (common practice, no source)."""
    one = step(pattern, count)
    labels: Pattern = "spiral" if pattern == "spiral" else "two_row"
    row = (count + 1) // 2
    middle = 50.0 if pattern == "spiral" else position(one, (row - 1) // 2)[0]
    away = [abs(position(one, n)[0] - middle) for n in pattern_order(labels, count)]
    assert all(b >= a - 0.1 for a, b in pairwise(away))
