"""Amounts as written: value, unit, stated resolution."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.quantities.amount import (
    Amount,
    Indication,
    format_number,
    in_tool_unit,
    parse_amount,
    same_value,
)
from assistant.quantities.units import UnitError
from tests.quantities.kit import a, exactly


@pytest.mark.parametrize(
    ("text", "value", "unit", "resolution"),
    [
        ("0.0015 in", Fraction(15, 10000), "in", Fraction(1, 10000)),
        ("1.50 thou", Fraction(3, 2), "thou", Fraction(1, 100)),
        ("14 lbf*ft", Fraction(14), "lbf*ft", Fraction(1)),
        ("1/64 in", Fraction(1, 64), "in", None),
        ("-2 mm", Fraction(-2), "mm", Fraction(1)),
        ("+3mm", Fraction(3), "mm", Fraction(1)),
        ("11 1", Fraction(11), "1", Fraction(1)),
    ],
)
def test_reading(text: str, value: Fraction, unit: str, resolution: Fraction | None) -> None:
    assert parse_amount(text) == Amount(value, unit, resolution)


@pytest.mark.parametrize("text", ["", "mm", "1 furlong", "1/0 in", "11", "1. mm", "1..2 mm", "x 1"])
def test_nonsense_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        parse_amount(text)


def test_an_amount_has_a_known_unit() -> None:
    with pytest.raises(UnitError, match="'cubit' is not a known unit"):
        Amount(Fraction(1), "cubit")


@pytest.mark.parametrize("text", ["1.50 thou", "-0.02 mm", "7 N*m", "1/3 in", "0.0 mm", "-0.5 mm"])
def test_writing_gives_back_what_was_read(text: str) -> None:
    assert str(parse_amount(text)) == text


def test_digits_are_never_rounded_away() -> None:
    assert format_number(Fraction("1.2345"), 1) == "1.2345"
    assert format_number(Fraction(1, 3)) == "1/3"
    assert format_number(Fraction(1, 3), 2) == "1/3"


def test_the_resolution_travels_with_the_value() -> None:
    assert parse_amount("1.5 thou").to("mm") == Amount(
        Fraction("0.0381"), "mm", Fraction("0.00254")
    )
    assert parse_amount("20.5 degC").to("degF").resolution == Fraction("0.18")
    assert parse_amount("1.5 thou").to("mm").decimals() == 5
    assert parse_amount("1 mm").to("in").decimals() is None
    assert parse_amount("1/64 in").decimals() is None
    assert parse_amount("1/64 in").to("mm").resolution is None


def test_a_tolerance_is_converted_as_a_difference() -> None:
    assert parse_amount("5 degC").difference_to("degF") == 9
    assert parse_amount("1 in").difference_to("mm") == Fraction("25.4")


@given(st.decimals(-999, 999, places=4, allow_nan=False, allow_infinity=False))
def test_decimals_survive_writing_and_reading(number: object) -> None:
    text = f"{number} mm"
    read = parse_amount(text)
    assert parse_amount(str(read)) == read


def test_indications_bound_the_measurand() -> None:
    five = parse_amount("5 thou")
    four = parse_amount("4 thou")
    assert Indication("eq", five).bounds("thou") == (Fraction(5), Fraction(5))
    assert Indication("lt", five).bounds("thou") == (None, Fraction(5))
    assert Indication("le", five).bounds("thou") == (None, Fraction(5))
    assert Indication("gt", five).bounds("thou") == (Fraction(5), None)
    assert Indication("ge", five).bounds("thou") == (Fraction(5), None)
    assert Indication("between", four, five).bounds("mm") == (
        Fraction("0.1016"),
        Fraction("0.127"),
    )


def test_indications_are_written() -> None:
    five, four = parse_amount("5 thou"), parse_amount("4 thou")
    assert str(exactly("5 thou")) == "5 thou"
    assert str(Indication("lt", five)) == "< 5 thou"
    assert str(Indication("ge", five)) == ">= 5 thou"
    assert str(Indication("between", four, five)) == "4 to under 5 thou"


def test_an_upper_end_goes_with_between_only() -> None:
    five = parse_amount("5 thou")
    with pytest.raises(ValueError, match="upper end"):
        Indication("between", five)
    with pytest.raises(ValueError, match="upper end"):
        Indication("eq", five, five)


@pytest.mark.parametrize(
    ("amount", "unit", "shown", "resolution"),
    [
        ("0.0381 mm", "thou", "1.5 thou", None),  # 0.0001 mm is not a decimal of a thou
        ("1.5 thou", "mm", "0.0381 mm", "0.00254"),
        ("0.1 mm", "thou", "0.1 mm", "0.1"),  # 3.93700787... thou is not a decimal
        ("12 in", "mm", "304.8 mm", "25.4"),
        ("1 um", "in", "1 um", "1"),
    ],
)
def test_in_the_unit_of_the_tool_where_that_is_a_decimal(
    amount: str, unit: str, shown: str, resolution: str | None
) -> None:
    found = in_tool_unit(a(amount), unit)
    assert str(Amount(found.value, found.unit)) == shown
    assert found.resolution == (None if resolution is None else Fraction(resolution))


def test_the_same_value_in_whatever_unit() -> None:
    thou, mm = Indication("eq", a("1.5 thou")), Indication("eq", a("0.0381 mm"))
    assert same_value(thou, mm)
    assert not same_value(thou, Indication("eq", a("0.0382 mm")))
    assert not same_value(thou, Indication("ge", a("0.0381 mm")))
    assert same_value(Indication("ge", a("1.5 thou")), Indication("ge", a("0.0381 mm")))
    assert not same_value(thou, Indication("eq", a("1.5 N*m")))
