"""Verdicts: exact at the limit, guarded, one-sided, and the same in every unit."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.quantities.amount import Amount, Indication, Relation, parse_amount
from assistant.quantities.limits import Limits, judge
from tests.quantities.kit import a, exactly, limits

GAP = limits("2 thou", "5 thou")


@pytest.mark.parametrize(
    ("reading", "verdict"),
    [
        ("2 thou", "in"),
        ("5 thou", "in"),
        ("5.0001 thou", "out"),
        ("1.9999 thou", "out"),
        ("0.127 mm", "in"),  # exactly 5 thou: 5 x 0.0254 mm (NIST SP 811: 1 in = 25.4 mm)
        ("0.1270001 mm", "out"),
        ("127 um", "in"),
        ("50 tenth", "in"),
        ("0.005 in", "in"),
    ],
)
def test_a_limit_is_met_to_the_last_digit(reading: str, verdict: str) -> None:
    assert judge(exactly(reading), GAP, "thou").verdict == verdict


def test_the_margin_is_to_the_nearer_limit() -> None:
    upper = judge(exactly("4.8 thou"), GAP, "thou")
    assert (upper.margin, upper.side) == (Amount(Fraction(1, 5), "thou"), "upper")
    lower = judge(exactly("1 thou"), GAP, "thou")
    assert (lower.margin, lower.side) == (Amount(Fraction(-1), "thou"), "lower")


def test_without_limits_nothing_is_judged_and_everything_passes() -> None:
    judged = judge(exactly("4 thou"), Limits(), "thou")
    assert judged.verdict == "no_limit"
    assert judged.passes
    assert judged.margin is None


@pytest.mark.parametrize(
    ("relation", "size", "verdict"),
    [
        ("lt", "1.5 thou", "out"),
        ("lt", "2 thou", "out"),  # under two cannot be two
        ("le", "2 thou", "undecided"),
        ("lt", "5 thou", "undecided"),
        ("ge", "5 thou", "undecided"),
        ("gt", "5 thou", "out"),
        ("ge", "6 thou", "out"),
        ("ge", "2 thou", "undecided"),
    ],
)
def test_one_sided_indications(relation: Relation, size: str, verdict: str) -> None:
    assert judge(Indication(relation, a(size)), GAP, "thou").verdict == verdict


def test_four_goes_and_five_does_not() -> None:
    seen = Indication("between", a("4 thou"), a("5 thou"))
    assert judge(seen, GAP, "thou").verdict == "in"
    assert judge(seen, limits(None, "4 thou"), "thou").verdict == "undecided"
    assert judge(seen, limits("5 thou", None), "thou").verdict == "out"


@pytest.mark.parametrize(
    ("reading", "verdict"),
    # ISO 14253-1: conformity is proved within the limits drawn in by U, non-conformity beyond
    # the limits drawn out by U, nothing in between. Here U = 0.2 thou.
    [
        ("4.8 thou", "in"),
        ("4.81 thou", "undecided"),
        ("5.2 thou", "undecided"),
        ("5.21 thou", "out"),
        ("2.2 thou", "in"),
        ("2.19 thou", "undecided"),
        ("1.8 thou", "undecided"),
        ("1.79 thou", "out"),
    ],
)
def test_guarded_acceptance(reading: str, verdict: str) -> None:
    judged = judge(exactly(reading), GAP, "thou", a("0.2 thou"), "guarded")
    assert judged.verdict == verdict


def test_simple_acceptance_ignores_the_uncertainty() -> None:
    assert judge(exactly("5 thou"), GAP, "thou", a("0.2 thou")).verdict == "in"


def test_the_guard_of_a_temperature_is_a_difference() -> None:
    oven = limits(None, "212 degF")
    judged = judge(exactly("98 degC"), oven, "degF", a("1 degC"), "guarded")
    assert judged.verdict == "in"


def test_limits_are_written() -> None:
    assert str(GAP) == "2 thou to 5 thou"
    assert str(limits(None, "5 thou")) == "at most 5 thou"
    assert str(limits("2 thou", None)) == "at least 2 thou"
    assert str(Limits()) == "no limit"


GRID = [Fraction(n, 20) for n in range(-220, 221)]
tenth = st.integers(-60, 60).map(lambda n: Fraction(n, 10))
ends = st.one_of(st.none(), tenth)
relations = st.sampled_from(["eq", "lt", "le", "gt", "ge", "between"])
unit_codes = st.sampled_from(["in", "thou", "tenth", "mm", "um"])


def _inside(value: Fraction, lower: Fraction | None, upper: Fraction | None) -> bool:
    return (lower is None or value >= lower) and (upper is None or value <= upper)


def _may_be(value: Fraction, relation: str, size: Fraction, other: Fraction) -> bool:
    return {
        "eq": value == size,
        "lt": value < size,
        "le": value <= size,
        "gt": value > size,
        "ge": value >= size,
        "between": size <= value < other,
    }[relation]


@given(relations, tenth, st.integers(1, 40), st.tuples(ends, ends), st.tuples(*[unit_codes] * 2))
def test_verdicts_agree_with_every_value_that_may_be(
    relation: Relation,
    size: Fraction,
    wide: int,
    both: tuple[Fraction | None, Fraction | None],
    units: tuple[str, str],
) -> None:
    """By enumeration of a grid finer than all sizes: all values in, all out, or some of each."""
    (lower, upper), (shown, judged_in) = both, units
    if lower is not None and upper is not None and lower > upper:
        lower, upper = upper, lower
    other = size + Fraction(wide, 10)
    possible = [v for v in GRID if _may_be(v, relation, size, other)]
    told = {_inside(v, lower, upper) for v in possible}
    if lower is None and upper is None:
        return
    expected = "undecided" if len(told) == 2 else "in" if True in told else "out"

    def amount(value: Fraction, unit: str) -> Amount:
        return Amount(value, "thou").to(unit)

    seen = Indication(
        relation, amount(size, shown), amount(other, shown) if relation == "between" else None
    )
    allowed = Limits(
        None if lower is None else amount(lower, "mm"),
        None if upper is None else amount(upper, "in"),
    )
    assert judge(seen, allowed, judged_in).verdict == expected


@given(tenth, ends, ends, st.integers(0, 20), unit_codes)
def test_the_unit_never_changes_a_verdict(
    value: Fraction, lower: Fraction | None, upper: Fraction | None, guard: int, unit: str
) -> None:
    allowed = Limits(
        None if lower is None else Amount(lower, "thou"),
        None if upper is None else Amount(upper, "thou"),
    )
    uncertainty = Amount(Fraction(guard, 10), "thou")
    seen = Indication("eq", Amount(value, "thou"))
    here = judge(seen, allowed, "thou", uncertainty, "guarded")
    turned = Indication("eq", Amount(value, "thou").to(unit))
    there = judge(turned, allowed, unit, uncertainty.to(unit), "guarded")
    assert here.verdict == there.verdict
    assert (here.margin is None) == (there.margin is None)
    if here.margin is not None and there.margin is not None:
        assert there.margin.to("thou").value == here.margin.value


def test_torque_limits_in_the_other_unit() -> None:
    limit = Limits(None, parse_amount("14 lbf*ft"))
    assert judge(exactly("168 lbf*in"), limit, "N*m").verdict == "in"
    assert judge(exactly("18.99 N*m"), limit, "N*m").verdict == "out"
