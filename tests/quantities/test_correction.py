"""Sizes at 20 degrees, from readings at other temperatures."""

from __future__ import annotations

from fractions import Fraction

import pytest

from assistant.quantities.correction import (
    REFERENCE_TEMPERATURE,
    at_reference,
)
from tests.quantities.kit import a

# Linear expansion per degree Celsius, handbook values from memory. GUM annex H.1 works with
# 11.5e-6 for its steel end gauge.
STEEL = Fraction("11.5e-6")
ALUMINIUM = Fraction("23e-6")


def test_the_reference_temperature_is_that_of_iso_1() -> None:
    assert REFERENCE_TEMPERATURE.to("degF").value == 68


def test_a_warm_part_is_smaller_at_twenty() -> None:
    # by hand: 100 mm of steel at 30 degC is 11.5 um long
    warm = a("100.0115 mm")
    assert at_reference(warm, a("30 degC"), STEEL).value == 100
    assert at_reference(warm, a("86 degF"), STEEL).value == 100


def test_part_and_gauge_alike_need_no_correction() -> None:
    steel = STEEL
    assert at_reference(a("50.000 mm"), a("28 degC"), steel, a("28 degC"), steel).value == 50


def test_aluminium_measured_with_a_steel_gauge() -> None:
    # by hand: both at 30 degC, 200 mm: 200 x 10 x (23 - 11.5) ppm = 23 um too much, to first order
    found = at_reference(a("200.000 mm"), a("30 degC"), ALUMINIUM, a("30 degC"), STEEL)
    assert float(200 - found.value) == pytest.approx(0.023, abs=1e-5)
