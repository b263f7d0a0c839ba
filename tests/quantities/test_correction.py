"""Zero offset, setting master, and temperature."""

from __future__ import annotations

from fractions import Fraction

import pytest

from assistant.quantities.correction import (
    EXPANSION,
    REFERENCE_TEMPERATURE,
    against_master,
    at_reference,
    without_zero,
)
from tests.quantities.kit import a


def test_zero_offset() -> None:
    assert without_zero(a("3.52 mm"), a("0.02 mm")) == a("3.50 mm")
    assert without_zero(a("3.52 mm"), a("-1 thou")).value == Fraction("3.5454")


def test_setting_master() -> None:
    # by definition: the master reads 0.003 over, so everything does
    assert against_master(a("0.018 mm"), a("0.003 mm"), a("25.000 mm")).value == Fraction("25.015")


def test_the_reference_temperature_is_that_of_iso_1() -> None:
    assert REFERENCE_TEMPERATURE.to("degF").value == 68


def test_a_warm_part_is_smaller_at_twenty() -> None:
    # by hand: 100 mm of steel at 30 degC is 11.5 um long
    warm = a("100.0115 mm")
    assert at_reference(warm, a("30 degC"), EXPANSION["steel"]).value == 100
    assert at_reference(warm, a("86 degF"), EXPANSION["steel"]).value == 100


def test_part_and_gauge_alike_need_no_correction() -> None:
    steel = EXPANSION["steel"]
    assert at_reference(a("50.000 mm"), a("28 degC"), steel, a("28 degC"), steel).value == 50


def test_aluminium_measured_with_a_steel_gauge() -> None:
    # by hand: both at 30 degC, 200 mm: 200 x 10 x (23 - 11.5) ppm = 23 um too much, to first order
    found = at_reference(
        a("200.000 mm"), a("30 degC"), EXPANSION["aluminium"], a("30 degC"), EXPANSION["steel"]
    )
    assert float(200 - found.value) == pytest.approx(0.023, abs=1e-5)


def test_the_size_by_a_master_keeps_the_step_of_the_reading() -> None:
    size = against_master(a("0.012 mm"), a("0.002 mm"), a("40 mm"))
    assert (str(size), size.resolution) == ("40.010 mm", Fraction(1, 1000))
