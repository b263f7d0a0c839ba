"""Shim selection: worked by hand, and against brute force over every subset of the stock."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits
from assistant.quantities.shims import ShimStack, ShimStock, choose_shims
from tests.quantities.kit import a, limits


def stock(**counts: int) -> list[ShimStock]:
    return [ShimStock(a(f"0.{size[1:]} mm"), count) for size, count in counts.items()]


def test_one_shim_rather_than_three() -> None:
    # gap 0.42, wanted 0.05 to 0.15 (middle 0.10): one 0.30 leaves 0.12
    chosen = choose_shims(a("0.42 mm"), limits("0.05 mm", "0.15 mm"), stock(s10=5, s20=2, s30=1))
    assert isinstance(chosen, ShimStack)
    assert chosen.shims == (a("0.30 mm"),)
    assert (chosen.total.value, chosen.result.value) == (Fraction("0.3"), Fraction("0.12"))


def test_of_as_many_shims_the_most_central() -> None:
    chosen = choose_shims(a("0.60 mm"), limits("0.02 mm", "0.18 mm"), stock(s45=1, s50=1, s55=1))
    assert isinstance(chosen, ShimStack)
    assert chosen.result.value == Fraction("0.10")


def test_a_tie_goes_to_the_smaller_gap() -> None:
    chosen = choose_shims(a("0.60 mm"), limits("0.02 mm", "0.18 mm"), stock(s45=1, s55=1))
    assert isinstance(chosen, ShimStack)
    assert chosen.result.value == Fraction("0.05")


def test_a_gap_in_limits_needs_no_shim() -> None:
    chosen = choose_shims(a("4 thou"), limits("2 thou", "5 thou"), stock(s10=1))
    assert isinstance(chosen, ShimStack)
    assert chosen.shims == ()
    assert chosen.result == Amount(Fraction(4), "thou")


def test_inch_gap_and_metric_shims_are_exact() -> None:
    chosen = choose_shims(a("10 thou"), limits("0 mm", "0.054 mm"), stock(s20=1))
    assert isinstance(chosen, ShimStack)
    assert chosen.result.to("mm").value == Fraction("0.054")


def test_impossible_orders_give_one_sentence() -> None:
    want = limits("0.05 mm", "0.15 mm")
    cases = {
        "no shim can open it": choose_shims(a("0.01 mm"), want, stock(s10=1)),
        "No stack of the shims": choose_shims(a("0.90 mm"), want, stock(s10=2)),
        "give a lower and an upper": choose_shims(a("0.90 mm"), Limits(), stock(s10=2)),
        "must all be lengths": choose_shims(a("9 N*m"), want, stock(s10=2)),
        "upside down": choose_shims(a("0.90 mm"), limits("2 mm", "1 mm"), stock(s10=2)),
        "no thickness": choose_shims(a("0.90 mm"), want, stock(s00=2)),
    }
    for part, told in cases.items():
        assert isinstance(told, str), part
        assert part in told
        assert told.endswith(".")
    assert isinstance(choose_shims(a("0.90 mm"), want, []), str)


def test_too_rich_a_stock_is_refused_rather_than_searched_for_hours() -> None:
    rich = [ShimStock(Amount(Fraction(2**n, 10**6), "mm"), 1) for n in range(20)]
    told = choose_shims(a("2 mm"), limits("0 mm", "0.1 mm"), rich)
    assert isinstance(told, str)
    assert "fewer thicknesses" in told


_stocks = st.lists(
    st.tuples(st.integers(1, 40), st.integers(0, 3)), max_size=5, unique_by=lambda s: s[0]
)


@settings(max_examples=200)
@given(_stocks, st.integers(0, 120), st.integers(0, 60), st.integers(0, 20))
def test_brute_force_finds_nothing_better(
    pieces: list[tuple[int, int]], gap: int, low: int, width: int
) -> None:
    def mm(hundredths: int) -> Amount:
        return Amount(Fraction(hundredths, 100), "mm")

    high = low + width
    chosen = choose_shims(
        mm(gap), Limits(mm(low), mm(high)), [ShimStock(mm(s), n) for s, n in pieces]
    )
    best: tuple[int, Fraction] | None = None
    for taken in product(*(range(n + 1) for _, n in pieces)):
        left = gap - sum(s * t for (s, _), t in zip(pieces, taken, strict=True))
        if low <= left <= high:
            key = (sum(taken), abs(left - Fraction(low + high, 2)))
            best = key if best is None else min(best, key)
    if best is None:
        assert isinstance(chosen, str)
        return
    assert isinstance(chosen, ShimStack)
    assert len(chosen.shims) == best[0]
    assert abs(chosen.result.value * 100 - Fraction(low + high, 2)) == best[1]
    assert sum((s.value for s in chosen.shims), Fraction(0)) == chosen.total.value
    for size, count in pieces:
        assert sum(s == mm(size) for s in chosen.shims) <= count
