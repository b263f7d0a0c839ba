"""Margins beside the gauge's uncertainty, and amounts in both unit systems."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given

from assistant.quantities.amount import Amount, Indication, exactly
from assistant.quantities.habit import INCH, METRIC, both_units
from assistant.quantities.limits import Limits, judge
from assistant.quantities.margin import Margin, margin
from tests.quantities.kit import a, limits, tenths

GAP = limits("2 thou", "5 thou")


def test_in_by_two_tenths_and_the_gauge_is_good_for_one() -> None:
    judged = judge(exactly("4.8 thou"), GAP, "thou")
    assert margin(judged, "tenth", a("0.1 thou")) == Margin(
        True, "upper", Amount(Fraction(2), "tenth"), Amount(Fraction(1), "tenth"), False
    )


def test_a_margin_under_the_uncertainty_is_doubtful() -> None:
    inside = margin(judge(exactly("4.95 thou"), GAP, "thou"), "thou", a("0.1 thou"))
    assert inside is not None
    assert inside.doubtful
    outside = margin(judge(exactly("1 thou"), GAP, "thou"), "thou")
    assert outside == Margin(False, "lower", Amount(Fraction(1), "thou"), None, False)


def test_no_margin_without_a_number() -> None:
    assert margin(judge(Indication("lt", a("1 thou")), GAP, "thou"), "thou") is None
    assert margin(judge(exactly("1 thou"), Limits(), "thou"), "thou") is None


@pytest.mark.parametrize(
    ("stated", "other"),
    [
        ("1.5 thou", "0.0381 mm"),  # 1 in = 25.4 mm (NIST SP 811); to the tenth of a step
        ("14 lbf*ft", "19.0 N*m"),  # 18.98 to the tenth of a step
        ("19 N*m", "14.01 lbf*ft"),
        ("80 lbf*in", "9.04 N*m"),  # 1 lbf*in = 0.1129848 N*m (NIST SP 811)
        ("25.40 mm", "1.00000 in"),
        ("20 degC", "68.0 degF"),
        ("1/64 in", "0.397 mm"),
        ("0.30 mm", "0.01181 in"),
    ],
)
def test_the_record_shows_both(stated: str, other: str) -> None:
    first, second = both_units(a(stated))
    assert first == a(stated)
    assert str(second) == other


def test_shared_units_stand_alone() -> None:
    assert both_units(a("60 deg")) == (a("60 deg"), None)


def test_habits() -> None:
    assert (INCH.of(a("0.0381 mm")).value, INCH.of(a("0.0381 mm")).unit) == (Fraction(3, 2), "thou")
    assert METRIC.of(a("14 lbf*ft")).unit == "N*m"
    assert METRIC.of(a("60 deg")) == a("60 deg")


@given(tenths, tenths, tenths)
def test_the_habit_never_changes_a_verdict(value: Amount, one: Amount, two: Amount) -> None:
    lower, upper = sorted((one, two), key=lambda amount: amount.value)
    verdicts = set()
    for habit in (INCH, METRIC):
        seen = habit.of(value)
        allowed = Limits(habit.of(lower), habit.of(upper))
        verdicts.add(judge(Indication("eq", seen), allowed, seen.unit).verdict)
    stated, _ = both_units(value)
    verdicts.add(judge(Indication("eq", stated), Limits(lower, upper), "mm").verdict)
    assert len(verdicts) == 1


@given(tenths)
def test_the_other_unit_is_within_a_tenth_of_the_step(value: Amount) -> None:
    _, other = both_units(value)
    assert other is not None
    assert value.resolution is not None
    assert abs(other.to("thou").value - value.value) <= value.resolution / 20
