"""Two stacks out of one box, against an exhaustive search; no source outside the arithmetic."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from assistant.language.english import in_english
from assistant.quantities import shim_pair
from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits
from assistant.quantities.problem import Problem
from assistant.quantities.shim_pair import NoOtherStack, ShimSide, choose_pair
from assistant.quantities.shims import ShimGap, ShimStack, ShimStock, choose_shims
from tests.quantities.kit import a, limits


def mm(hundredths: int | Fraction) -> Amount:
    return Amount(Fraction(hundredths) / 100, "mm")


def box(**pieces: int) -> tuple[ShimStock, ...]:
    """``s30=1``: one shim of 0.30 mm."""
    return tuple(ShimStock(mm(int(name[1:])), count) for name, count in pieces.items())


def side(gap: str, low: str, high: str, **more: bool) -> ShimSide:
    return ShimSide(ShimGap(a(gap)), limits(low, high), **more)


def hundredths(stacks: tuple[ShimStack, ShimStack] | Problem | NoOtherStack) -> list[list[int]]:
    assert isinstance(stacks, tuple), stacks
    return [[int(shim.value * 100) for shim in stack.shims] for stack in stacks]


def test_the_first_side_leaves_what_only_the_second_can_use() -> None:
    # by itself the left takes the 0.30, nearest to its middle; the right can use nothing else
    left, right = side("0.30 mm", "-0.02 mm", "0.02 mm"), side("0.30 mm", "-0.005 mm", "0.005 mm")
    stock = box(s31=1, s30=1)
    alone = choose_shims(left.gap, left.limits, stock)
    assert isinstance(alone, ShimStack)
    assert alone.shims == (mm(30),)
    assert hundredths(choose_pair(left, right, stock)) == [[31], [30]]
    assert hundredths(choose_pair(right, left, stock)) == [[30], [31]]


def test_a_box_that_does_for_either_but_not_for_both_is_told_with_both_gaps() -> None:
    one, other = side("0.50 mm", "-0.01 mm", "0.01 mm"), side("0.52 mm", "-0.03 mm", "0.03 mm")
    told = choose_pair(one, other, box(s50=1))
    assert isinstance(told, Problem)
    assert in_english(told) == (
        "Both stacks come out of one box. No choice of its shims brings 0.50 mm to -0.01 mm to "
        "0.01 mm, and at once 0.52 mm to -0.03 mm to 0.03 mm; get other shims."
    )
    told = choose_pair(one, side("2 mm", "0 mm", "0.1 mm"), box(s50=2))
    assert isinstance(told, NoOtherStack)
    assert "brings the gap 2 mm" in in_english(told.why), "the one side that cannot be made at all"


def test_inch_and_metric_sides_share_one_box_exactly() -> None:
    inch = ShimSide(ShimGap(a("20 thou")), limits("-1 thou", "1 thou"))
    metric = side("0.51 mm", "-0.02 mm", "0.02 mm")
    stacks = choose_pair(inch, metric, box(s50=2))
    assert hundredths(stacks) == [[50], [50]]
    assert isinstance(stacks, tuple)
    assert stacks[0].result == Amount(Fraction(20) - Fraction(1, 2) / Fraction("0.0254"), "thou")
    assert stacks[1].result == Amount(Fraction("0.01"), "mm")


def test_a_guarded_side_keeps_clear_even_where_the_other_need_not() -> None:
    unsure = ShimGap(a("0.50 mm"), uncertainty=a("0.02 mm"))
    guarded = ShimSide(unsure, limits("-0.03 mm", "0.03 mm"), guarded=True)
    plain = side("0.50 mm", "-0.03 mm", "0.03 mm")
    # one stack of 0.48 (left over 0.02, nearer to the limit than U) and one of 0.50
    assert hundredths(choose_pair(guarded, plain, box(s48=1, s50=1))) == [[50], [48]]
    assert isinstance(choose_pair(guarded, guarded, box(s48=1, s50=1)), Problem)
    told = choose_pair(side("2 mm", "0 mm", "0.1 mm"), plain, box(s50=2))
    assert isinstance(told, Problem)
    assert "brings the gap 2 mm" in in_english(told)


def test_shims_that_open_one_gap_and_close_the_other() -> None:
    opens = ShimSide(ShimGap(a("-0.30 mm"), opens=True), limits("-0.01 mm", "0.01 mm"))
    closes = side("0.20 mm", "-0.01 mm", "0.01 mm")
    assert hundredths(choose_pair(opens, closes, box(s30=1, s20=1))) == [[30], [20]]


def test_a_box_too_rich_for_every_pair_is_searched_side_by_side(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(shim_pair, "_MOST_PAIRS", 1)
    one, other = side("0.50 mm", "-0.01 mm", "0.01 mm"), side("0.30 mm", "-0.01 mm", "0.01 mm")
    choose_pair.cache_clear()
    assert hundredths(choose_pair(one, other, box(s50=1, s30=1))) == [[50], [30]]
    choose_pair.cache_clear()


_stocks = st.lists(
    st.tuples(st.integers(1, 30), st.integers(0, 3)), max_size=4, unique_by=lambda s: s[0]
)
_sides = st.tuples(st.integers(0, 70), st.integers(-10, 20), st.integers(0, 16), st.booleans())


@settings(max_examples=150)
@given(_stocks, _sides, _sides)
@example([(31, 1), (30, 1)], (30, -2, 4, False), (30, 0, 0, False))
def test_no_split_of_the_box_is_better(
    pieces: list[tuple[int, int]],
    one: tuple[int, int, int, bool],
    other: tuple[int, int, int, bool],
) -> None:
    given_sides = [
        ShimSide(ShimGap(mm(gap), opens=opens), Limits(mm(low), mm(low + width)))
        for gap, low, width, opens in (one, other)
    ]
    chosen = choose_pair(*given_sides, tuple(ShimStock(mm(s), n) for s, n in pieces))
    best: tuple[Fraction, int, Fraction] | None = None
    splits = [[(x, y) for x in range(n + 1) for y in range(n + 1 - x)] for _, n in pieces]
    for taken in product(*splits):
        off: list[Fraction] = []
        for which, (gap, low, width, opens) in enumerate((one, other)):
            total = sum(s * t[which] for (s, _), t in zip(pieces, taken, strict=True))
            left = gap + total if opens else gap - total
            if not low <= left <= low + width:
                break
            half = Fraction(width, 2)
            off.append(abs(left - low - half) / half if half else Fraction(0))
        else:
            key = (max(off), sum(map(sum, taken)), min(off))
            best = key if best is None else min(best, key)
    if best is None:
        assert isinstance(chosen, Problem | NoOtherStack)
        return
    assert isinstance(chosen, tuple), chosen
    found = [
        abs(stack.result.value * 100 - low - Fraction(width, 2)) / (Fraction(width, 2) or 1)
        for stack, (_, low, width, _) in zip(chosen, (one, other), strict=True)
    ]
    shims = [s for stack in chosen for s in stack.shims]
    assert (max(found), len(shims), min(found)) == best
    for size, count in pieces:
        assert sum(s == mm(size) for s in shims) <= count, "a shim was handed out twice"
    for stack, (gap, _, _, opens) in zip(chosen, (one, other), strict=True):
        assert sum((s.value for s in stack.shims), Fraction(0)) == stack.total.value
        way = 1 if opens else -1
        assert stack.result.value == Fraction(gap, 100) + way * stack.total.value
