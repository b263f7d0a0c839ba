"""Budgets against GUM H.1 and the uncertainties library; conformity against scipy and JCGM 106."""

from __future__ import annotations

from fractions import Fraction
from math import inf, sqrt

import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st

from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits, judge
from assistant.quantities.uncertainty import (
    Budget,
    Component,
    conformity_probability,
    from_mpe,
    from_resolution,
    rectangular,
    rounded_up,
)
from tests.lazily import Lazily
from tests.quantities.kit import a, exactly, limits

stats = Lazily("scipy.stats")


@pytest.mark.uncounted
def test_the_end_gauge_of_gum_annex_h1() -> None:
    """JCGM 100:2008 H.1.3 to H.1.6, figures from memory; lengths in micrometres here.

    l_S = 50 mm; U(l_S) = 75 nm with k = 3 and 18 dof; difference: repeats 5.8 nm (24 dof),
    comparator random 3.9 nm (5 dof), systematic 6.7 nm (8 dof); difference of expansion 2.9 nm
    (50 dof); difference of temperature 16.6 nm (2 dof). Published: u(l) = 32 nm, effective
    degrees of freedom 16, U = 93 nm at 99 % (t = 2.92).
    """
    budget = Budget(
        (
            Component("standard", 0.075 / 3, "um", 18),
            Component("repeats", 0.0058, "um", 24),
            Component("comparator, random", 0.0039, "um", 5),
            Component("comparator, systematic", 0.0067, "um", 8),
            Component("difference of expansion", 0.0029, "um", 50),
            Component("difference of temperature", 0.0166, "um", 2),
        ),
        "um",
    )
    assert round(budget.standard * 1000) == 32
    assert int(budget.dof) == 16
    assert round(stats.t.ppf(0.995, 16), 2) == 2.92
    assert float(budget.expanded(0.99).value) == pytest.approx(0.093)


def test_h1_temperature_component_from_its_parts() -> None:
    # GUM H.1: l_S alpha u(dtheta) = 50 mm x 11.5e-6 x 0.05/sqrt(3) degC = 16.6 nm
    part = rectangular("temperature", a("0.05 degC"))
    assert 50e6 * 11.5e-6 * part.standard == pytest.approx(16.6, abs=0.05)


def test_components() -> None:
    # GUM F.2.2.1: a step of dx gives u = 0.29 dx
    assert from_resolution(a("0.01 mm")).standard == pytest.approx(0.0029, abs=5e-5)
    assert from_mpe(a("4 um")).standard == pytest.approx(4 / sqrt(3))


@given(st.lists(st.floats(0.001, 10), min_size=1, max_size=6))
def test_budgets_combine_as_the_uncertainties_library_does(parts: list[float]) -> None:
    budget = Budget(tuple(Component(str(i), u, "um") for i, u in enumerate(parts)), "um")
    reference = sum(uncertainties.ufloat(0, u) for u in parts)
    assert budget.standard == pytest.approx(reference.std_dev)


def test_units_are_brought_together() -> None:
    budget = Budget((Component("a", 1.0, "thou"), Component("b", 0.0254, "mm")), "um")
    assert budget.standard == pytest.approx(25.4 * sqrt(2))
    warmth = Budget((Component("thermometer", 1.0, "degC"),), "degF")
    assert warmth.standard == pytest.approx(1.8)


def test_expanded_is_rounded_up_to_two_figures() -> None:
    assert Budget((Component("a", 0.1234, "mm"),), "mm").expanded() == Amount(
        Fraction("0.25"), "mm"
    )
    assert Budget((Component("a", 0.1, "mm"),), "mm").expanded().value == Fraction("0.2")
    # 95 % of a normal distribution: 1.96
    assert Budget((Component("a", 1.0, "mm"),), "mm").expanded(0.95).value == 2
    assert Budget((), "mm").expanded().value == 0
    assert Budget((), "mm").dof == inf
    few = Budget((Component("a", 1.0, "mm", 4),), "mm")
    assert few.expanded(0.95).value == Fraction("2.8")  # t = 2.776 (GUM table G.2)


@pytest.mark.parametrize(
    ("value", "rounded"),
    [(0.0, "0"), (0.2, "0.2"), (0.201, "0.21"), (123.4, "130"), (0.000987, "0.00099"), (1.0, "1")],
)
def test_rounding_up(value: float, rounded: str) -> None:
    assert rounded_up(value) == Fraction(rounded)


@pytest.mark.parametrize(
    ("probability", "z"),
    # JCGM 106:2012 table 1 (from memory): conformance probability and z = (TU - y)/u
    [(0.80, 0.84), (0.90, 1.28), (0.95, 1.64), (0.99, 2.33), (0.999, 3.09)],
)
def test_one_sided_conformity_is_that_of_jcgm_106(probability: float, z: float) -> None:
    found = conformity_probability(
        Amount(Fraction(10) - Fraction(str(z)), "um"), 1.0, limits(None, "10 um"), "um"
    )
    assert found == pytest.approx(probability, abs=0.002)


def test_the_zener_diode_of_jcgm_106() -> None:
    # JCGM 106:2012 7.4 (figures from memory): at most -5.40 V, measured -5.47 V with u = 0.05 V,
    # so that the probability is that of 1.40, 92 %; volts stand as plain numbers here
    found = conformity_probability(a("-5.47 1"), 0.05, limits(None, "-5.40 1"), "1")
    assert round(found, 2) == 0.92


ends = st.one_of(st.none(), st.integers(-30, 30))


@given(st.integers(-30, 30), st.integers(1, 50), ends, ends)
def test_conformity_is_scipys(value: int, tenths: int, low: int | None, high: int | None) -> None:
    if low is not None and high is not None and low > high:
        low, high = high, low
    u = tenths / 10
    found = conformity_probability(
        Amount(Fraction(value), "um"),
        u,
        Limits(
            None if low is None else Amount(Fraction(low), "um"),
            None if high is None else Amount(Fraction(high), "um"),
        ),
        "um",
    )
    normal = stats.norm(value, u)
    expected = (1 if high is None else normal.cdf(high)) - (0 if low is None else normal.cdf(low))
    assert found == pytest.approx(expected, abs=1e-12)


def test_a_perfect_gauge_knows() -> None:
    gap = limits("2 thou", "5 thou")
    assert conformity_probability(a("5 thou"), 0, gap, "thou") == 1
    assert conformity_probability(a("5.1 thou"), 0, gap, "thou") == 0
    assert conformity_probability(a("1.9 thou"), 0, gap, "thou") == 0
    assert conformity_probability(a("5.1 thou"), 0, Limits(), "thou") == 1


@given(st.integers(0, 70), st.integers(0, 10))
def test_the_zone_and_the_guarded_verdict_are_one(tenths: int, guard: int) -> None:
    lower, upper, uncertainty = a("2 thou"), a("5 thou"), Amount(Fraction(guard, 10), "thou")
    gap = Limits(lower, upper)
    reading = exactly(f"{tenths / 10} thou")
    # ISO 14253-1: the limits drawn in by U on either side
    zone = Limits(
        Amount(lower.value + uncertainty.value, "thou"),
        Amount(upper.value - uncertainty.value, "thou"),
    )
    guarded = judge(reading, gap, "thou", uncertainty, "guarded").verdict
    assert (guarded == "in") == (judge(reading, zone, "thou").verdict == "in")


def test_components_are_named_and_in_the_unit_of_the_first_reading() -> None:
    assert from_resolution(a("0.01 mm")).name == "resolution"
    assert from_mpe(a("4 um")).name == "maximum permissible error"


@pytest.mark.parametrize("dof", [2, 9, 500, 20_000, inf])
def test_coverage_is_students_or_the_normal_one(dof: float) -> None:
    budget = Budget((Component("a", 1.0, "um", dof),), "um")
    factor = stats.t.ppf(0.975, dof)  # GUM G.6.4
    assert float(budget.expanded(0.95).value) == pytest.approx(factor, abs=0.1)
    assert float(budget.expanded(0.95).value) >= factor - 1e-3
