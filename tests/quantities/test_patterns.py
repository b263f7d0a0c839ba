"""Patterns: what is possible is proved by trying every order; the rest by every count to 60."""

from __future__ import annotations

from itertools import pairwise, permutations
from typing import get_args

import pytest

from assistant.quantities.patterns import Pattern, pattern_order
from scripts.pattern_pictures import FOLDER, SHOWN, drawn

COUNTS = range(1, 61)
LEAST_WITHOUT_NEIGHBOURS = 5  # from so many on, "cross" and "star" need not go to a neighbour


def neighbour_steps(order: tuple[int, ...]) -> int:
    return sum(abs(a - b) in (1, len(order) - 1) for a, b in pairwise(order))


@pytest.mark.parametrize("pattern", get_args(Pattern))
def test_every_fastener_comes_once(pattern: Pattern) -> None:
    for count in COUNTS:
        assert sorted(pattern_order(pattern, count)) == list(range(count))


def test_by_every_order_four_cannot_do_without_a_neighbour_and_five_to_eight_can() -> None:
    fewest = {n: min(neighbour_steps(o) for o in permutations(range(n))) for n in range(2, 9)}
    assert fewest == {2: 1, 3: 2, 4: 1, 5: 0, 6: 0, 7: 0, 8: 0}
    assert min(n for n, steps in fewest.items() if steps == 0) == LEAST_WITHOUT_NEIGHBOURS


@pytest.mark.parametrize("pattern", ["cross", "star"])
def test_never_two_neighbours_in_a_row_where_that_can_be(pattern: Pattern) -> None:
    for count in range(LEAST_WITHOUT_NEIGHBOURS, 61):
        assert neighbour_steps(pattern_order(pattern, count)) == 0, count


@pytest.mark.parametrize("pattern", ["cross", "star"])
def test_four_takes_the_diametral_pairs_and_the_one_neighbour_step_between_them(
    pattern: Pattern,
) -> None:
    assert pattern_order(pattern, 4) == (0, 2, 1, 3)
    assert neighbour_steps((0, 2, 1, 3)) == 1


def test_cross_tightens_opposite_pairs() -> None:
    for count in range(4, 61, 2):
        order = pattern_order("cross", count)
        for first, second in zip(order[::2], order[1::2], strict=True):
            assert abs(first - second) == count // 2


@pytest.mark.parametrize(
    ("count", "order"),
    # common practice, no source: the sequences in which flange bolts are numbered
    [
        (4, "1 3 2 4"),
        (6, "1 4 2 5 3 6"),
        (8, "1 5 3 7 2 6 4 8"),
        (10, "1 6 3 8 5 10 2 7 4 9"),
        (12, "1 7 4 10 2 8 5 11 3 9 6 12"),
        # ASME PCC-1, table of the legacy cross pattern (from memory, as are 4 to 12 above)
        (16, "1 9 5 13 3 11 7 15 2 10 6 14 4 12 8 16"),
    ],
)
def test_the_usual_cross_sequences(count: int, order: str) -> None:
    assert [i + 1 for i in pattern_order("cross", count)] == [int(i) for i in order.split()]


def test_the_five_pointed_star() -> None:
    # common practice, no source
    assert pattern_order("star", 5) == (0, 2, 4, 1, 3)


def test_a_star_keeps_its_stride() -> None:
    for count in COUNTS:
        if count in (1, 2, 3, 4, 6):
            continue
        order = pattern_order("star", count)
        assert len({(b - a) % count for a, b in pairwise(order)}) == 1


def test_two_rows_work_outwards_and_cross_over() -> None:
    for count in range(4, 61, 2):
        row = count // 2
        order = pattern_order("two_row", count)
        middle = (row - 1) // 2
        away = [abs(i % row - middle) for i in order]
        assert away == sorted(away)
        for first, second in zip(order[::2], order[1::2], strict=True):
            assert abs(first - second) == row


def test_a_spiral_never_comes_nearer_to_the_middle() -> None:
    for count in range(4, 61, 2):
        half = count // 2
        order = pattern_order("spiral", count)
        column = {i: i if i < half else count - 1 - i for i in order}
        away = [abs(2 * column[i] - (half - 1)) for i in order]
        assert away == sorted(away)


def test_the_spiral_of_ten() -> None:
    # common practice, no source: middle pair first, then round it, numbered clockwise from 1
    assert [i + 1 for i in pattern_order("spiral", 10)] == [3, 8, 9, 2, 4, 7, 10, 1, 5, 6]


def test_no_fastener_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one fastener"):
        pattern_order("cross", 0)


def test_two_rows_of_five_cross_over_each_time() -> None:
    # rows 1 to 5 and 6 to 10 from the same end: every step to another column stays on its side
    order = [3, 8, 9, 4, 2, 7, 10, 5, 1, 6]
    assert [i + 1 for i in pattern_order("two_row", 10)] == order


@pytest.mark.parametrize(
    ("count", "order"),
    [(8, [7, 2, 3, 6, 8, 1, 4, 5]), (9, [3, 8, 7, 2, 4, 9, 6, 1, 5])],
)
def test_a_spiral_begins_in_the_middle_of_both_sides(count: int, order: list[int]) -> None:
    assert [i + 1 for i in pattern_order("spiral", count)] == order


@pytest.mark.parametrize("pattern", SHOWN)
def test_the_pictures_in_the_guide_show_the_order(pattern: Pattern) -> None:
    name = f"pattern-{pattern.replace('_', '-')}.svg"
    assert (FOLDER / name).read_text(encoding="utf-8") == drawn(pattern, SHOWN[pattern])
