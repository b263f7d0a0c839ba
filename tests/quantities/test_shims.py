"""Shim selection: worked by hand, and against brute force over every subset of the stock."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.language.english import in_english
from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits
from assistant.quantities.problem import Problem
from assistant.quantities.shims import ShimGap, ShimStack, ShimStock, choose_shims
from tests.quantities.kit import a, limits


def stock(**counts: int) -> list[ShimStock]:
    return [ShimStock(a(f"0.{size[1:]} mm"), count) for size, count in counts.items()]


def test_one_shim_rather_than_three() -> None:
    # gap 0.42, wanted 0.05 to 0.15 (middle 0.10): one 0.30 leaves 0.12
    chosen = choose_shims(
        ShimGap(a("0.42 mm")), limits("0.05 mm", "0.15 mm"), stock(s10=5, s20=2, s30=1)
    )
    assert isinstance(chosen, ShimStack)
    assert chosen.shims == (a("0.30 mm"),)
    assert (chosen.total.value, chosen.result.value) == (Fraction("0.3"), Fraction("0.12"))


def test_of_as_many_shims_the_most_central() -> None:
    chosen = choose_shims(
        ShimGap(a("0.60 mm")), limits("0.02 mm", "0.18 mm"), stock(s45=1, s50=1, s55=1)
    )
    assert isinstance(chosen, ShimStack)
    assert chosen.result.value == Fraction("0.10")


def test_a_tie_goes_to_the_smaller_gap() -> None:
    chosen = choose_shims(ShimGap(a("0.60 mm")), limits("0.02 mm", "0.18 mm"), stock(s45=1, s55=1))
    assert isinstance(chosen, ShimStack)
    assert chosen.result.value == Fraction("0.05")


def test_a_gap_in_limits_needs_no_shim() -> None:
    chosen = choose_shims(ShimGap(a("4 thou")), limits("2 thou", "5 thou"), stock(s10=1))
    assert isinstance(chosen, ShimStack)
    assert chosen.shims == ()
    assert chosen.result == Amount(Fraction(4), "thou")


def test_inch_gap_and_metric_shims_are_exact() -> None:
    chosen = choose_shims(ShimGap(a("10 thou")), limits("0 mm", "0.054 mm"), stock(s20=1))
    assert isinstance(chosen, ShimStack)
    assert chosen.result.to("mm").value == Fraction("0.054")


def test_impossible_orders_give_one_sentence() -> None:
    want = limits("0.05 mm", "0.15 mm")
    cases = {
        "shims here only close it further": choose_shims(ShimGap(a("0.01 mm")), want, stock(s10=1)),
        "No stack of the shims": choose_shims(ShimGap(a("0.90 mm")), want, stock(s10=2)),
        "give a lower and an upper": choose_shims(ShimGap(a("0.90 mm")), Limits(), stock(s10=2)),
        "must all be lengths": choose_shims(ShimGap(a("9 N*m")), want, stock(s10=2)),
        "upside down": choose_shims(ShimGap(a("0.90 mm")), limits("2 mm", "1 mm"), stock(s10=2)),
        "no thickness": choose_shims(ShimGap(a("0.90 mm")), want, stock(s00=2)),
    }
    for part, told in cases.items():
        assert isinstance(told, Problem), part
        assert part in in_english(told)
        assert in_english(told).endswith(".")
    assert isinstance(choose_shims(ShimGap(a("0.90 mm")), want, []), Problem)


def test_too_rich_a_stock_is_refused_rather_than_searched_for_hours() -> None:
    rich = [ShimStock(Amount(Fraction(2**n, 10**6), "mm"), 1) for n in range(20)]
    told = choose_shims(ShimGap(a("2 mm")), limits("0 mm", "0.1 mm"), rich)
    assert isinstance(told, Problem)
    assert "fewer thicknesses" in in_english(told)


_stocks = st.lists(
    st.tuples(st.integers(1, 40), st.integers(0, 3)), max_size=5, unique_by=lambda s: s[0]
)


@settings(max_examples=200)
@given(_stocks, st.integers(0, 120), st.integers(0, 60), st.integers(0, 20), st.booleans())
def test_brute_force_finds_nothing_nearer_the_middle_nor_as_near_with_fewer(
    pieces: list[tuple[int, int]], gap: int, low: int, width: int, opens: bool
) -> None:
    def mm(hundredths: int) -> Amount:
        return Amount(Fraction(hundredths, 100), "mm")

    high = low + width
    shimmed = [ShimStock(mm(s), n) for s, n in pieces]
    chosen = choose_shims(ShimGap(mm(gap), opens=opens), Limits(mm(low), mm(high)), shimmed)
    way = 1 if opens else -1
    best: tuple[Fraction, int] | None = None
    for taken in product(*(range(n + 1) for _, n in pieces)):
        left = gap + way * sum(s * t for (s, _), t in zip(pieces, taken, strict=True))
        if low <= left <= high:
            key = (abs(left - Fraction(low + high, 2)), sum(taken))
            best = key if best is None else min(best, key)
    if best is None:
        assert isinstance(chosen, Problem)
        return
    assert isinstance(chosen, ShimStack)
    assert abs(chosen.result.value * 100 - Fraction(low + high, 2)) == best[0]
    assert len(chosen.shims) == best[1]
    assert sum((s.value for s in chosen.shims), Fraction(0)) == chosen.total.value
    assert chosen.result.value == Fraction(gap, 100) + way * chosen.total.value
    for size, count in pieces:
        assert sum(s == mm(size) for s in chosen.shims) <= count


def test_the_middle_is_taken_where_a_single_shim_would_end_on_a_limit() -> None:
    # 0.40 less one 0.30 leaves 0.10, on the limit; 0.20 and 0.05 leave 0.15, the middle
    box = stock(s30=1, s20=1, s05=1)
    chosen = choose_shims(ShimGap(a("0.40 mm")), limits("0.10 mm", "0.20 mm"), box)
    assert isinstance(chosen, ShimStack)
    assert [str(s) for s in chosen.shims] == ["0.20 mm", "0.05 mm"]
    assert chosen.result.value == Fraction("0.15")


def test_of_results_that_the_gauge_cannot_tell_apart_the_fewest_shims() -> None:
    box = stock(s28=1, s20=1, s05=1)
    want = limits("0.10 mm", "0.20 mm")
    # 0.12 by one shim, 0.15 by two: with U = 0.03 they count as equal...
    one = choose_shims(
        ShimGap(a("0.40 mm"), uncertainty=a("0.03 mm")), want, stock(s28=1, s27=1, s20=1, s05=1)
    )
    assert isinstance(one, ShimStack)
    assert [str(s) for s in one.shims] == ["0.27 mm"]
    # ... but 0.12 is nearer to the limit than U, so it is not taken
    two = choose_shims(ShimGap(a("0.40 mm"), uncertainty=a("0.03 mm")), want, box)
    assert isinstance(two, ShimStack)
    assert [str(s) for s in two.shims] == ["0.20 mm", "0.05 mm"]


def test_a_guarded_gap_keeps_clear_of_the_limits_or_is_refused() -> None:
    box, want = stock(s30=1), limits("0.10 mm", "0.20 mm")
    plain = choose_shims(ShimGap(a("0.41 mm"), uncertainty=a("0.02 mm")), want, box)
    assert isinstance(plain, ShimStack), "within the limits, and nothing better is there"
    told = choose_shims(ShimGap(a("0.41 mm"), uncertainty=a("0.02 mm")), want, box, guarded=True)
    assert isinstance(told, Problem)
    assert "keeps clear of the limits" in in_english(told)
    clear = choose_shims(ShimGap(a("0.42 mm"), uncertainty=a("0.02 mm")), want, box, guarded=True)
    assert isinstance(clear, ShimStack)


def test_shims_under_a_cover_open_the_gap() -> None:
    want = limits("0.10 mm", "0.20 mm")
    chosen = choose_shims(ShimGap(a("-0.05 mm"), opens=True), want, stock(s20=1, s10=2))
    assert isinstance(chosen, ShimStack)
    assert [str(s) for s in chosen.shims] == ["0.20 mm"]
    assert chosen.result.value == Fraction("0.15")
    told = choose_shims(ShimGap(a("0.25 mm"), opens=True), want, stock(s20=1))
    assert isinstance(told, Problem)
    assert in_english(told) == (
        "The gap is over 0.20 mm without any shim, and shims here only open it further."
    )


def test_as_many_shims_and_as_near_thick_ones_come_first() -> None:
    # 0.60 less 0.50 leaves 0.10 by 0.30 + 0.20 or 0.25 + 0.25
    chosen = choose_shims(
        ShimGap(a("0.60 mm")), limits("0.10 mm", "0.10 mm"), stock(s20=1, s25=2, s30=1)
    )
    assert isinstance(chosen, ShimStack)
    assert chosen.shims == (a("0.30 mm"), a("0.20 mm"))


def test_of_results_as_good_the_fewest_then_the_nearest_then_the_smaller_gap() -> None:
    # U = 0.02: left are 0.10 (three shims), 0.11 (two), 0.09 (two): two shims, the smaller gap
    pieces = stock(s10=3, s29=1, s31=1)
    chosen = choose_shims(
        ShimGap(a("0.40 mm"), uncertainty=a("0.02 mm")), limits("0.05 mm", "0.15 mm"), pieces
    )
    assert isinstance(chosen, ShimStack)
    assert (len(chosen.shims), chosen.result.value) == (1, Fraction("0.09"))


def test_a_lower_limit_below_zero_lets_the_shims_stand_proud() -> None:
    # a preload: 0.10 less 0.15 leaves -0.05
    chosen = choose_shims(ShimGap(a("0.10 mm")), limits("-0.06 mm", "-0.04 mm"), stock(s15=1))
    assert isinstance(chosen, ShimStack)
    assert chosen.result.value == Fraction("-0.05")
