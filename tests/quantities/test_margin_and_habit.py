"""Margins beside the gauge's uncertainty, and amounts also in another unit."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given

from assistant.quantities.amount import Amount, Indication
from assistant.quantities.habit import Habit, converted, in_habit
from assistant.quantities.limits import Limits, judge
from assistant.quantities.margin import Margin, margin
from tests.quantities.kit import a, exactly, limits, tenths

GAP = limits("2 thou", "5 thou")


def test_in_by_two_tenths_and_the_gauge_is_good_for_one() -> None:
    judged = judge(exactly("4.8 thou"), GAP, "thou")
    assert margin(judged, "tenth", a("0.1 thou")) == Margin(
        Amount(Fraction(2), "tenth"), Amount(Fraction(1), "tenth"), False
    )


def test_a_margin_under_the_uncertainty_is_doubtful() -> None:
    inside = margin(judge(exactly("4.95 thou"), GAP, "thou"), "thou", a("0.1 thou"))
    assert inside is not None
    assert inside.doubtful
    outside = margin(judge(exactly("1 thou"), GAP, "thou"), "thou")
    assert outside == Margin(Amount(Fraction(1), "thou"), None, False)


def test_no_margin_without_a_number() -> None:
    assert margin(judge(Indication("lt", a("1 thou")), GAP, "thou"), "thou") is None
    assert margin(judge(exactly("1 thou"), Limits(), "thou"), "thou") is None


@pytest.mark.parametrize(
    ("stated", "habit", "thought"),
    [
        # 1 in = 25.4 mm exactly (NIST SP 811)
        ("1.5 thou", "metric", "0.0381 mm"),
        ("0.0381 mm", "inch", "1.5 thou"),
        ("0.30 mm", "inch", "11.81 thou"),
        # in inches from a hundred thou up (common practice, no source)
        ("2.5146 mm", "inch", "99 thou"),
        ("2.54 mm", "inch", "0.1 in"),
        ("3.175 mm", "inch", "0.125 in"),
        ("-3.175 mm", "inch", "-0.125 in"),
        ("48.09 mm", "inch", "1.8933 in"),
        ("1.2 tenth", "metric", "3.048 um"),
        ("1/64 in", "metric", "0.3969 mm"),
    ],
)
def test_a_length_in_the_unit_that_a_builder_thinks_in(
    stated: str, habit: Habit, thought: str
) -> None:
    assert str(in_habit(a(stated), habit)) == thought


@pytest.mark.parametrize("stated", ["14 lbf*ft", "60 deg", "20 degC", "1.50 mm"])
def test_no_torque_is_said_twice_and_nothing_that_needs_no_other_unit(stated: str) -> None:
    assert in_habit(a(stated), "metric") is None
    assert in_habit(a(stated), None) is None


@given(tenths)
def test_the_other_unit_is_within_a_tenth_of_the_step(value: Amount) -> None:
    other = converted(value)
    assert other is not None
    assert value.resolution is not None
    assert abs(other.to(value.unit).value - value.value) <= value.resolution / 20


@pytest.mark.parametrize(
    ("stated", "other", "digit"),
    [
        # 1 lbf*ft = 1.35582 N*m, 1 psi = 0.0689476 bar (NIST SP 811, B.8); to a tenth of the step
        ("14 lbf*ft", "19.0 N*m", "0.1"),
        ("19.0 N*m", "14.014 lbf*ft", "0.001"),
        ("2.0 bar", "29.0 psi", "0.1"),
        ("100 um", "0.003937 in", "0.000001"),
        # numbers that end keep no zeros that nobody read
        ("25.4 mm", "1 in", "1"),
        ("1.27 mm", "0.05 in", "0.01"),
        ("0.127 mm", "0.005 in", "0.001"),
        ("20 degC", "68 degF", "1"),
        # without a resolution of its own: to a thousandth of itself
        ("1/3 mm", "0.01312 in", "0.00001"),
        ("10/3 N*m", "2.459 lbf*ft", "0.001"),
    ],
)
def test_the_other_unit_has_the_digits_that_the_amount_bears_out(
    stated: str, other: str, digit: str
) -> None:
    number, unit = stated.split()
    given = Amount(Fraction(number), unit) if "/" in number else a(stated)
    found = converted(given)
    assert found is not None
    assert (str(found), found.resolution) == (other, Fraction(digit))


def test_nothing_is_nothing_in_the_other_unit_too() -> None:
    assert str(converted(Amount(Fraction(0), "mm"))) == "0 in"
