"""Formulas of heat and of angles against published examples, identities and small differences."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.quantities.amount import Amount
from assistant.quantities.formula import FormulaError, estimate, evaluate, names_in
from assistant.quantities.propagation import Estimate, UncertaintySource
from assistant.quantities.roots import square_root
from assistant.quantities.threads import thread
from assistant.quantities.trigonometry import PI, cosine, sine
from tests.quantities.kit import a

TINY = Fraction(1, 10**28)


def test_growth_of_a_long_span_is_that_of_the_textbook() -> None:
    """OpenStax, University Physics 2, 1.3, example of linear expansion (from memory).

    A steel span of 1275 m, from -15 to 40 degC, with 12 millionths per kelvin, grows by 0.84 m.
    """
    inputs = {"span": a("1275000 mm"), "cold": a("-15 degC"), "hot": a("40 degC")}
    grown = evaluate("growth(span, hot - cold, 12)", inputs, "mm")
    assert round(float(grown.value) / 1000, 2) == 0.84


def test_the_heat_for_a_growth_is_the_way_back() -> None:
    inputs = {"bore": a("60 mm"), "room": a("20 degC"), "grip": a("0.03 mm")}
    heat = evaluate("room + rise_for(bore, grip + '0.05 mm', 11.5)", inputs, "degC")
    # the bearing makers' general formula: grip and clearance over diameter x expansion
    assert heat.value == 20 + Fraction("0.08") / (60 * Fraction("11.5e-6"))
    back = {**inputs, "heat": heat}
    clearance = "growth(bore, heat - room, 11.5) - grip"
    assert evaluate(clearance, back, "mm").value == Fraction("0.05")


def test_part_and_gauge_at_their_own_temperatures() -> None:
    """JCGM 100:2008, H.1.2: l = ls (1 + as ts) / (1 + a t), with the gauge for the standard."""
    inputs = {"size": a("50.000838 mm"), "part": a("24 degC"), "gauge": a("21.5 degC")}
    found = evaluate("at_20(size, part, 23, gauge, 11.5)", inputs, "mm").value
    wanted = (Fraction("50.000838") * (1 + Fraction("11.5e-6") * Fraction("1.5"))
              / (1 + Fraction("23e-6") * 4))  # fmt: skip
    assert found == wanted
    alike = {**inputs, "gauge": a("24 degC")}
    assert evaluate("at_20(size, part, 11.5, gauge, 11.5)", alike, "mm") == Amount(
        Fraction("50.000838"), "mm"
    )


@pytest.mark.parametrize(
    ("formula", "told"),
    [
        ("growth(size, part, 11.5)", "a difference of temperatures"),
        ("rise_for(size, part, 11.5)", "by how much it is to grow"),
        ("at_20(size, part, 11.5, gauge)", "temperature and expansion of the gauge"),
        ("growth(size, part - gauge, 3000)", "between 0 and 300"),
        ("sin(size)", "takes one angle, in deg"),
        ("cos(turn, turn)", "takes one angle, in deg"),
        ("stretch(size, size, 58)", "takes the load, the grip and the section"),
    ],
)
def test_what_does_not_fit_is_told(formula: str, told: str) -> None:
    inputs = {"size": a("50 mm"), "part": a("24 degC"), "gauge": a("21 degC"), "turn": a("3 deg")}
    with pytest.raises(FormulaError, match=told):
        evaluate(formula, inputs, "mm")


def test_no_expansion_needs_no_end_of_heat() -> None:
    with pytest.raises(FormulaError):
        evaluate("rise_for(size, size, 0)", {"size": a("5 mm")}, "delta_degC")


def test_pi_is_that_of_the_library() -> None:
    assert float(PI) == math.pi


@given(st.fractions(-1000, 1000, max_denominator=60))
@settings(max_examples=40)
def test_sine_and_cosine_are_those_of_the_library_and_of_pythagoras(degrees: Fraction) -> None:
    assert math.isclose(float(sine(degrees)), math.sin(math.radians(degrees)), abs_tol=1e-12)
    assert math.isclose(float(cosine(degrees)), math.cos(math.radians(degrees)), abs_tol=1e-12)
    assert abs(sine(degrees) ** 2 + cosine(degrees) ** 2 - 1) < TINY


@pytest.mark.parametrize(
    ("degrees", "exact"),
    [(0, 0), (30, Fraction(1, 2)), (90, 1), (150, Fraction(1, 2)), (180, 0), (210, Fraction(-1, 2)),
     (270, -1), (-30, Fraction(-1, 2)), (720, 0)],
)  # fmt: skip
def test_sines_that_are_fractions_are_exact(degrees: int, exact: Fraction) -> None:
    assert sine(Fraction(degrees)) == exact
    assert cosine(Fraction(90 - degrees)) == exact


def test_the_sine_of_half_a_right_angle_has_thirty_figures() -> None:
    assert abs(sine(Fraction(45)) - square_root(Fraction(1, 2))) < TINY


HEATED = {"size": a("80 mm"), "part": a("35 degC"), "gauge": a("23 degC"), "more": a("0.1 mm"),
          "turn": a("37 deg"), "rise": a("60 delta_degC"), "load": a("20000 N")}  # fmt: skip


@pytest.mark.parametrize(
    ("formula", "unit"),
    [
        ("at_20(size, part, 11.5, gauge, 23)", "mm"),
        ("growth(size, rise, 11.5)", "mm"),
        ("rise_for(size, more, 11.5)", "delta_degC"),
        ("size * sin(turn) + more * cos(turn)", "mm"),
        ("stretch(load, size, 58)", "um"),
    ],
)
def test_what_a_result_follows_is_what_a_small_difference_does(formula: str, unit: str) -> None:
    """GUM 5.1.3: the sensitivity is the partial derivative; here against a difference quotient."""
    step = Fraction(1, 10**9)
    for name, amount in HEATED.items():
        if name not in names_in(formula):
            continue
        source = UncertaintySource("gauge", name)
        inputs: Mapping[str, Estimate] = {
            n: Estimate(v, {source: Fraction(1)} if n == name else {}) for n, v in HEATED.items()
        }
        parts = estimate(formula, inputs, unit).parts
        assert parts is not None
        moved = {**HEATED, name: replace(amount, value=amount.value + step)}
        before = evaluate(formula, HEATED, unit).value
        slope = (evaluate(formula, moved, unit).value - before) / step
        assert math.isclose(float(parts[source]), float(slope), rel_tol=1e-6)


def test_a_pressed_inner_ring_grows_as_lame_has_it() -> None:
    """Thick cylinders of one metal (Timoshenko, Strength of Materials II, art. on shrink fits).

    A ring of bore d and raceway F is pressed on a solid shaft with the grip g. The pressure is
    E g / d / ((F^2 + d^2) / (F^2 - d^2) + 1), and the raceway grows by 2 p d^2 F / (E (F^2 - d^2)).
    That is g d / F, the general formula of bearing makers for the clearance that is lost.
    """
    grip, bore, raceway, modulus = 0.03, 60.0, 74.0, 206_000.0
    thick = raceway**2 - bore**2
    pressure = modulus * grip / bore / ((raceway**2 + bore**2) / thick + 1)
    lost = 2 * pressure * bore**2 * raceway / (modulus * thick)
    inputs = {"grip": a("0.03 mm"), "bore": a("60 mm"), "raceway": a("74 mm")}
    found = evaluate("grip * bore / raceway", inputs, "mm")
    assert math.isclose(float(found.value), lost, rel_tol=1e-12)


def test_a_bolt_stretches_by_hookes_law() -> None:
    """By hand: 20 kN on 36.6 mm2 (M8, ISO 898-1) over 60 mm of steel, 205 GPa: 159.9 um."""
    inputs = {"load": a("20000 N"), "grip": a("60 mm")}
    found = evaluate("stretch(load, grip, 36.6)", inputs, "um")
    assert round(float(found.value), 1) == 159.9


def test_a_bolt_stretches_as_in_published_worked_examples() -> None:
    """Both take another modulus than the 205 GPa here; their figures are brought to it.

    engineeringtoolbox.com, "Bolt Stretching": a 7/8-9 stud of 5 in under 10 000 lbf, stress area
    0.46 in2, E = 30e6 psi (206.84 GPa): 0.0036 in. machinecalcs.com, bolt elongation: M10 x 1.5,
    25 kN over 50 mm, stress area 58.0 mm2, 200 GPa (from its strain of 0.00216): 0.108 mm.
    """
    for size, area, load, grip, unit, published, modulus in (
        ("7/8-9", 0.4617 * 645.16, "10000 lbf", "5 in", "in", 0.0036, 206.84),
        ("M10", 58.0, "25000 N", "50 mm", "mm", 0.108, 200),
    ):
        assert thread(size).stress_area == pytest.approx(area, rel=0.002)
        inputs = {"load": a(load), "grip": a(grip)}
        found = evaluate(f"stretch(load, grip, {area:.2f})", inputs, unit)
        assert float(found.value) * 205 / modulus == pytest.approx(published, rel=0.006)
