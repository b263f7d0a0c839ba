"""Readings combined: four quarter turns with their uncertainties, and the unit of the result."""

from __future__ import annotations

from fractions import Fraction

import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import umath

from assistant.quantities.amount import Amount
from assistant.quantities.combining import combined, unit_of
from assistant.quantities.propagation import Estimate, UncertaintySource, standard


def quarter(place: int, value: int, spread: int) -> Estimate:
    source = UncertaintySource(f"g{place}", str(place))
    return Estimate(Amount(Fraction(value), "um"), {source: Fraction(spread, 10)}, Fraction(1))


@given(st.lists(st.integers(-90, 90), min_size=4, max_size=4))
def test_quarter_turns_follow_their_readings_as_the_library_has_it(values: list[int]) -> None:
    a, b, c, d = values
    if (a, b) == (c, d):
        return  # the first order says nothing there; see the next test
    ours = combined([quarter(i, v, i + 1) for i, v in enumerate(values)], "quarter_turns")
    p, q, r, s = (uncertainties.ufloat(v, (i + 1) / 10) for i, v in enumerate(values))
    theirs = umath.hypot(p - r, q - s)
    assert ours.parts is not None
    assert float(ours.amount.value) == pytest.approx(theirs.nominal_value)
    assert standard(ours.parts) == pytest.approx(theirs.std_dev, rel=1e-9)
    signs = [ours.parts[UncertaintySource(f"g{i}", str(i))] for i in range(4)]
    # opposite readings pull the other way: their common error cancels
    assert signs[0] / Fraction(1, 10) == -signs[2] / Fraction(3, 10)
    assert signs[1] / Fraction(2, 10) == -signs[3] / Fraction(4, 10)


def test_quarter_turns_all_alike_are_not_certain() -> None:
    ours = combined([quarter(i, 7, 1) for i in range(4)], "quarter_turns")
    assert ours.amount == Amount(Fraction(0), "um")
    assert ours.step == 1
    assert ours.parts == {
        UncertaintySource("g0", "0"): Fraction(1, 10),
        UncertaintySource("g1", "1"): Fraction(1, 10),
        UncertaintySource("g2", "2"): Fraction(-1, 10),
        UncertaintySource("g3", "3"): Fraction(-1, 10),
    }


@pytest.mark.parametrize(
    ("how", "unit"),
    [("mean", "degC"), ("max", "degC"), ("min", "degC"), ("range", "delta_degC"),
     ("quarter_turns", "delta_degC")],
)  # fmt: skip
def test_a_range_of_temperatures_is_a_difference(how: str, unit: str) -> None:
    assert unit_of("degC", how) == unit
    readings = [Estimate(Amount(Fraction(20 + i), "degC"), {}) for i in range(4)]
    assert combined(readings, how).amount.unit == unit
