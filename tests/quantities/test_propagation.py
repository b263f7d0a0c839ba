"""Uncertainty of computed values against the uncertainties library and the GUM.

JCGM 100:2008 (GUM): 5.1.2 independent inputs; 5.2.2 correlated ones; F.1.2.3 readings of one
instrument are correlated.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise
from math import sqrt
from typing import Any

import pytest
import uncertainties
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import umath

from assistant.quantities.amount import Amount
from assistant.quantities.combining import combined
from assistant.quantities.formula import estimate
from assistant.quantities.propagation import (
    Estimate,
    UncertaintySource,
    reading_estimate,
    rounded,
    standard,
    suits,
)
from tests.quantities.kit import a


def reading(text: str, expanded: str | None, gauge: str = "dial", name: str = "") -> Estimate:
    u = None if expanded is None else a(expanded)
    return reading_estimate(a(text), UncertaintySource(gauge, name or text), u)


def _top(*values: Any) -> Any:
    return max(values, key=lambda one: one.nominal_value)


def _low(*values: Any) -> Any:
    return min(values, key=lambda one: one.nominal_value)


# Each formula, and the same in Python for the library to compute.
FORMULAS: dict[str, Callable[[Any, Any, Any], Any]] = {
    "a - b": lambda a, b, c: a - b,
    "a + b": lambda a, b, c: a + b,
    "half(a + b)": lambda a, b, c: (a + b) / 2,
    "mean(a, b, c)": lambda a, b, c: (a + b + c) / 3,
    "a * b / c": lambda a, b, c: a * b / c,
    "(a - b) / 2 + c": lambda a, b, c: (a - b) / 2 + c,
    "abs(b - a)": lambda a, b, c: _top(b - a, a - b),
    "max(a, b) - min(b, c)": lambda a, b, c: _top(a, b) - _low(b, c),
    "hypot(a - b, c)": lambda a, b, c: umath.hypot(a - b, c),
    "sqrt(a * a + b * b)": lambda a, b, c: umath.sqrt(a * a + b * b),
    "a - a + b": lambda a, b, c: a - a + b,
    "2.5 * a - b / 4": lambda a, b, c: 2.5 * a - b / 4,
    "a * (b + c) / (a + b)": lambda a, b, c: a * (b + c) / (a + b),
}


def reference(formula: str, inputs: dict[str, Any]) -> float:
    return float(FORMULAS[formula](inputs["a"], inputs["b"], inputs["c"]).std_dev)


_sizes = st.integers(-400, 400).filter(lambda n: abs(n) > 5)


@settings(max_examples=150)
@given(
    st.sampled_from(sorted(FORMULAS)),
    st.lists(_sizes, min_size=3, max_size=3, unique=True),
    st.lists(st.integers(1, 90), min_size=3, max_size=3),
)
def test_independent_gauges_combine_as_the_library_does(
    formula: str, sizes: list[int], spreads: list[int]
) -> None:
    values = [Fraction(s, 10) for s in sizes]
    if "/ (a + b)" in formula and values[0] + values[1] == 0:
        return
    ours = estimate(
        formula,
        {
            n: Estimate(Amount(v, "thou"), {UncertaintySource(n, n): Fraction(u, 100)})
            for n, v, u in zip("abc", values, spreads, strict=True)
        },
        "thou",
    )
    theirs = reference(
        formula,
        {
            n: uncertainties.ufloat(float(v), u / 100)
            for n, v, u in zip("abc", values, spreads, strict=True)
        },
    )
    assert ours.parts is not None
    assert standard(ours.parts) == pytest.approx(theirs, rel=1e-9, abs=1e-12)


@settings(max_examples=100)
@given(st.sampled_from(sorted(FORMULAS)), st.lists(_sizes, min_size=3, max_size=3, unique=True))
def test_one_gauge_is_taken_as_badly_correlated_as_it_may_be(
    formula: str, sizes: list[int]
) -> None:
    values = [Fraction(s, 10) for s in sizes]
    if "/ (a + b)" in formula and values[0] + values[1] == 0:
        return
    u = 0.25
    ours = estimate(
        formula,
        {
            n: Estimate(Amount(v, "thou"), {UncertaintySource("dial", n): Fraction(u)})
            for n, v in zip("abc", values, strict=True)
        },
        "thou",
    )
    apart = {n: uncertainties.ufloat(float(v), u) for n, v in zip("abc", values, strict=True)}
    full = [[u * u] * 3] * 3
    same = uncertainties.correlated_values([float(v) for v in values], full)
    alike = dict(zip("abc", same, strict=True))
    assert ours.parts is not None
    worst = max(reference(formula, apart), reference(formula, alike))
    assert standard(ours.parts) == pytest.approx(worst, rel=1e-6, abs=1e-7)


def test_a_reading_less_itself_is_certain_and_a_reading_less_another_is_not() -> None:
    dial = {"a": reading("5.0 thou", "0.4 thou"), "b": reading("3.0 thou", "0.4 thou")}
    nothing = estimate("a - a", dial, "thou").uncertainty
    assert nothing is not None
    assert nothing.value == 0
    # 0.4 sqrt(2) = 0.5657, rounded up to two figures
    assert estimate("a - b", dial, "thou").uncertainty == Amount(Fraction("0.57"), "thou")
    # the same error at both: 0.8, not 0.57
    assert estimate("a + b", dial, "thou").uncertainty == Amount(Fraction("0.8"), "thou")


def test_an_unknown_uncertainty_makes_that_of_the_result_unknown() -> None:
    inputs = {"a": reading("5.0 thou", "0.4 thou"), "b": reading("3.0 thou", None)}
    assert estimate("a - b", inputs, "thou").uncertainty is None
    assert combined(list(inputs.values()), "mean").uncertainty is None


def test_correlation_lasts_through_a_computed_value() -> None:
    inputs = {"a": reading("5.0 thou", "0.4 thou"), "b": reading("3.0 thou", "0.4 thou")}
    half = estimate("half(a + b)", inputs, "thou")
    # a - (a + b)/2 = (a - b)/2: 0.4 / sqrt(2), the readings independent
    rest = estimate("a - m", {"a": inputs["a"], "m": half}, "thou")
    assert rest.parts is not None
    assert 2 * standard(rest.parts) == pytest.approx(0.4 / sqrt(2))


def test_inch_and_metric_gauges_are_brought_together() -> None:
    inputs = {
        "bore": reading("30.02 mm", "0.004 mm", "bore gauge"),
        "journal": reading("1.1810 in", "0.0001 in", "micrometer"),
    }
    play = estimate("bore - journal", inputs, "um")
    assert play.parts is not None
    assert 2 * standard(play.parts) == pytest.approx(sqrt(4**2 + 2.54**2))


def test_at_20_follows_size_temperature_and_expansion() -> None:
    """L20 = L / (1 + a (t - 20)): by the library, through its own division."""
    inputs = {
        "size": reading("40.000 mm", "0.004 mm", "mic"),
        "heat": reading("30.0 degC", "1 degC", "thermometer"),
    }
    ours = estimate("at_20(size, heat, 23)", inputs, "mm")
    size, heat = uncertainties.ufloat(40, 0.002), uncertainties.ufloat(30, 0.5)
    theirs = size / (1 + 23e-6 * (heat - 20))
    assert ours.parts is not None
    assert standard(ours.parts) == pytest.approx(theirs.std_dev, rel=1e-9)
    assert float(ours.amount.value) == pytest.approx(theirs.nominal_value, rel=1e-12)


def test_the_uncertainty_of_a_temperature_is_a_difference() -> None:
    inputs = {
        "hot": reading("212 degF", "1.8 degF", "t"),
        "cold": reading("20 degC", "1 degC", "u"),
    }
    rise = estimate("hot - cold", inputs, "delta_degC")
    assert rise.amount == Amount(Fraction(80), "delta_degC")
    # 1.8 degF is 1 degC of difference: sqrt(2) = 1.414, rounded up
    assert rise.uncertainty == Amount(Fraction("1.5"), "delta_degC")
    assert suits("degC", "delta_degF")
    assert not suits("degC", "mm")


_POSITIONS = st.lists(st.integers(-90, 90), min_size=2, max_size=6)


@given(_POSITIONS, st.sampled_from(["mean", "max", "min", "range"]))
def test_combined_readings_agree_with_the_library(values: list[int], how: str) -> None:
    if how != "mean" and len(set(values)) < len(values):
        return  # which of several alike is taken makes no difference but to the library
    readings = [
        Estimate(
            Amount(Fraction(v), "um"), {UncertaintySource(f"g{i}", str(i)): Fraction(i + 1, 10)}
        )
        for i, v in enumerate(values)
    ]
    theirs = [uncertainties.ufloat(v, (i + 1) / 10) for i, v in enumerate(values)]
    top = max(theirs, key=lambda r: r.nominal_value)
    low = min(theirs, key=lambda r: r.nominal_value)
    expected = {"mean": sum(theirs) / len(theirs), "max": top, "min": low, "range": top - low}[how]
    ours = combined(readings, how)
    assert ours.parts is not None
    assert float(ours.amount.value) == pytest.approx(expected.nominal_value)
    assert standard(ours.parts) == pytest.approx(expected.std_dev)


def test_alike_readings_have_a_range_of_zero_that_is_not_certain() -> None:
    alike = [reading("2.0 thou", "0.4 thou", name=n) for n in ("top", "bottom")]
    spread = combined(alike, "range")
    assert spread.amount.value == 0
    assert spread.uncertainty == Amount(Fraction("0.57"), "thou")


@pytest.mark.parametrize(
    ("formula", "unit", "shown"),
    [
        ("a - b", "thou", "1.75"),  # from 0.01 and 0.05 thou
        ("a - b", "mm", "0.04445"),  # 0.01 thou is 0.000254 mm: four decimals, and one more
        ("a / 3", "thou", "4.117"),
        ("mean(a, b)", "thou", "11.475"),
        ("2 * a", "thou", "24.70"),
        ("a / b", "1", "1.16509"),  # follows a by 1/b: 0.01/10.6 = 0.00094
    ],
)
def test_a_computed_value_is_shown_no_coarser_than_its_finest_reading(
    formula: str, unit: str, shown: str
) -> None:
    inputs = {
        "a": reading_estimate(a("12.35 thou"), UncertaintySource("d", "a"), None),
        "b": reading_estimate(a("10.60 thou"), UncertaintySource("d", "b"), None, a("0.05 thou")),
    }
    assert estimate(formula, inputs, unit).shown().number() == shown


@given(
    st.fractions(-1000, 1000, max_denominator=10**7),
    st.sampled_from([Fraction(1), Fraction(1, 10), Fraction(254, 10**5), Fraction(1, 3000)]),
)
def test_rounding_is_within_half_of_the_step_and_never_leaves_a_fraction(
    value: Fraction, step: Fraction
) -> None:
    told = rounded(Amount(value, "mm"), step)
    assert abs(told.value - value) <= step / 2
    assert told.resolution is not None
    assert told.resolution <= step
    assert "/" not in told.number()
    more = [abs(rounded(Amount(value, "mm"), step, n).value - value) for n in range(4)]
    assert all(later <= Fraction(1, 2) * step / 10**n for n, later in enumerate(more))
    assert len(list(pairwise(more))) == 3


def test_a_value_without_a_step_stands_when_it_ends_and_has_seven_figures_else() -> None:
    assert rounded(Amount(Fraction(3, 8), "mm"), None).number() == "0.375"
    assert rounded(Amount(Fraction(10007375, 250081), "mm"), None).number() == "40.01653"


def test_an_estimate_in_another_unit_is_the_same_estimate() -> None:
    warm = Estimate(a("68 degF"), {UncertaintySource("t", "a"): Fraction(9, 10)}, Fraction(18, 10))
    assert warm.to("degF") is warm
    there = warm.to("degC")
    assert there.amount.value == 20
    assert there.parts == {UncertaintySource("t", "a"): Fraction(1, 2)}
    assert there.step == 1
    exact = Estimate(a("25.4 mm")).to("in")
    assert exact.amount.value == 1
    assert (exact.parts, exact.step) == (None, None)


@pytest.mark.parametrize(
    ("value", "step", "shown"),
    [
        ("1.2345", "0.01", "1.234"),  # half to even in the third place
        ("1.2355", "0.01", "1.236"),
        ("1.230", "0.01", "1.23"),  # the one more is left out where it is zero
        ("1.200", "0.01", "1.20"),  # but not below the step
        ("1.2", "0.05", "1.20"),
        ("40", "1", "40"),
    ],
)
def test_one_place_more_than_the_step_and_no_idle_zero(value: str, step: str, shown: str) -> None:
    assert rounded(Amount(Fraction(value), "mm"), Fraction(step)).number() == shown


def test_at_20_follows_an_expansion_that_is_not_known_well() -> None:
    """GUM H.1.2 takes the expansion for uncertain; here by the library, with both signs."""
    for temperature in ("30.0 degC", "10.0 degC"):
        inputs = {
            "size": reading("40.000 mm", "0.004 mm", "mic"),
            "heat": reading(temperature, "1 degC", "thermometer"),
            "growth": Estimate(
                Amount(Fraction(23), "1"), {UncertaintySource("book", "growth"): Fraction(2)}
            ),
        }
        ours = estimate("at_20(size, heat, growth)", inputs, "mm")
        size, growth = uncertainties.ufloat(40, 0.002), uncertainties.ufloat(23, 2)
        heat = uncertainties.ufloat(float(temperature.split()[0]), 0.5)
        theirs = size / (1 + growth / 1e6 * (heat - 20))
        assert ours.parts is not None
        assert standard(ours.parts) == pytest.approx(theirs.std_dev, rel=1e-9)
        follows = theirs.derivatives[growth] * 2
        assert float(ours.parts[UncertaintySource("book", "growth")]) == pytest.approx(follows)


def test_no_length_at_20_degrees_is_no_length() -> None:
    inputs = {"size": reading("0.000 mm", "0.004 mm"), "heat": reading("30 degC", "1 degC", "t")}
    nothing = estimate("at_20(size, heat, 23)", inputs, "mm")
    assert nothing.amount.value == 0
    assert nothing.uncertainty == Amount(Fraction("0.004"), "mm")


def test_a_root_of_nothing_is_certain_only_of_something_certain() -> None:
    inputs = {"a": reading("3.0 thou", "0.4 thou"), "b": reading("3.0 thou", "0.4 thou", name="b")}
    assert estimate("sqrt((a - b) * a)", inputs, "thou").uncertainty is None
    certain = estimate("sqrt((a - a) * a)", inputs, "thou")
    assert (certain.amount.value, certain.amount.unit) == (Fraction(0), "thou")
    assert certain.uncertainty == Amount(Fraction(0), "thou")
    unknown = {"a": reading("3.0 thou", None)}
    assert estimate("sqrt((a - a) * a)", unknown, "thou").uncertainty is None
