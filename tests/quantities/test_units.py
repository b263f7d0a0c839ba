"""Conversions against NIST SP 811 and scipy's constants; exactness; kinds of quantity."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.quantities.units import (
    UNITS,
    UnitError,
    convert,
    convert_difference,
    powers,
    same_dimension,
    scale,
)
from tests.lazily import Lazily
from tests.quantities.pint_units import PINT, registry

pytestmark = pytest.mark.uncounted

constants = Lazily("scipy.constants")

# NIST SP 811 (2008) Appendix B.8: factor, as printed, to seven significant digits or exact.
SP811 = [
    ("in", "mm", "25.4"),
    ("thou", "mm", "0.0254"),
    ("lbf*ft", "N*m", "1.355818"),
    ("lbf*in", "N*m", "0.1129848"),
    ("ozf*in", "N*m", "0.007061552"),
    ("ozf*in", "cN*m", "0.7061552"),
    ("lbf", "N", "4.448222"),
    ("lbf", "kN", "0.004448222"),
    ("psi", "MPa", "0.006894757"),
    ("psi", "bar", "0.06894757"),
    ("min", "s", "60"),
    ("h", "s", "3600"),
]


@pytest.mark.parametrize(("source", "target", "printed"), SP811)
def test_factors_are_those_of_nist_sp_811(source: str, target: str, printed: str) -> None:
    digits = len(printed.replace(".", "").lstrip("0"))
    ours = float(convert(Fraction(1), source, target))
    assert f"{ours:.{digits}g}" == f"{float(printed):.{digits}g}"


def test_factors_are_those_of_scipy() -> None:
    theirs = {
        ("in", "mm"): constants.inch * 1000,
        ("lbf", "N"): constants.lbf,
        ("psi", "bar"): constants.psi / constants.bar,
        ("lbf*ft", "N*m"): constants.lbf * constants.foot,
    }
    for (source, target), expected in theirs.items():
        assert float(convert(Fraction(1), source, target)) == pytest.approx(expected, rel=1e-14)


ANGLES = {"deg", "rpm"}  # an angle is a kind of its own here, and so is a speed of rotation


def test_a_revolution_per_minute_is_six_degrees_a_second() -> None:
    theirs = registry().Quantity(Fraction(1), registry().Unit("rpm")).to("degree / second")
    assert float(theirs.magnitude) == pytest.approx(float(UNITS["rpm"].scale))
    assert UNITS["rpm"].powers == (("[angle]", 1), ("[time]", -1))


def test_units_are_those_of_pint() -> None:
    """pint's own definitions file, read with exact numbers."""
    assert set(PINT) == set(UNITS)
    for code in UNITS.keys() - ANGLES:
        unit = registry().Unit(PINT[code])
        ours = UNITS[code]
        for value in (Fraction(0), Fraction(7, 3)):
            theirs = registry().Quantity(value, unit).to_base_units()
            assert Fraction(theirs.magnitude) == value * ours.scale + ours.zero, code
            found = {str(n): int(str(p)) for n, p in theirs.dimensionality.items()}
            if code.startswith(("delta_", "degC/", "degF/")):  # a kind of its own here
                found["[temperature difference]"] = found.pop("[temperature]")
            assert found == dict(ours.powers), code


def test_conversions_are_those_of_pint() -> None:
    for source in UNITS.keys() - ANGLES:
        for target in UNITS.keys() - ANGLES:
            if same_dimension(source, target):
                theirs = registry().Quantity(Fraction(7, 3), registry().Unit(PINT[source]))
                in_target = theirs.to(registry().Unit(PINT[target])).magnitude
                assert convert(Fraction(7, 3), source, target) == in_target, (source, target)


def test_a_flow_and_a_rise_in_time() -> None:
    """By definition: a cubic metre is 1000 litres, 9 degF warmer is 5 degC warmer."""
    assert convert(Fraction(60), "l/min", "l/min") == 60
    assert UNITS["l/min"].scale * 60_000 == 1
    assert convert(Fraction(5), "degC/min", "degF/min") == 9
    assert convert(Fraction(1), "degC/min", "degC/h") == 60
    assert not same_dimension("degC/min", "delta_degC")


def test_the_inch_is_exact() -> None:
    # NIST SP 811: 1 in = 25.4 mm exactly; common practice: the thinnest blade has 1.5 thou
    assert convert(Fraction("1.5"), "thou", "mm") == Fraction("0.0381")
    assert convert(Fraction(1), "tenth", "um") == Fraction("2.54")


def test_fourteen_pound_feet() -> None:
    # common practice, no source: 14 lbf*ft is written as 18.98 N*m beside it
    assert round(float(convert(Fraction(14), "lbf*ft", "N*m")), 2) == 18.98


def test_the_pound_foot_is_twelve_pound_inches() -> None:
    assert convert(Fraction(1), "lbf*ft", "lbf*in") == 12


@pytest.mark.parametrize(("celsius", "fahrenheit"), [(0, 32), (100, 212), (20, 68), (-40, -40)])
def test_temperatures(celsius: int, fahrenheit: int) -> None:
    # NIST SP 811 B.8: t/degF = 1.8 t/degC + 32, exactly
    assert convert(Fraction(celsius), "degC", "degF") == fahrenheit


def test_a_difference_of_temperature_has_no_offset() -> None:
    assert convert_difference(Fraction(5), "degC", "degF") == 9


def test_an_angle_is_no_plain_number() -> None:
    assert not same_dimension("deg", "1")
    with pytest.raises(UnitError, match="different kinds"):
        convert(Fraction(60), "deg", "1")


def test_unlike_units_are_refused_in_one_sentence() -> None:
    with pytest.raises(UnitError, match="'mm' and 'N\\*m' are different kinds of quantity"):
        convert(Fraction(1), "mm", "N*m")


def test_an_unknown_unit_names_the_known_ones() -> None:
    for call in (powers, scale):
        with pytest.raises(UnitError, match="Unknown unit 'furlong'; use one of: in, thou"):
            call("furlong")


def test_every_unit_has_a_scale_and_powers() -> None:
    for code in UNITS:
        assert scale(code) > 0
        assert all(power for _, power in powers(code))
    assert scale("degF") == Fraction(5, 9)


codes = st.sampled_from(sorted(UNITS))
values = st.fractions(-1000, 1000, max_denominator=10_000)


@given(codes, codes, values)
def test_there_and_back_is_exact(source: str, target: str, value: Fraction) -> None:
    if same_dimension(source, target):
        assert convert(convert(value, source, target), target, source) == value


@given(codes, codes, values)
def test_scales_agree_with_conversion(source: str, target: str, value: Fraction) -> None:
    if same_dimension(source, target):
        assert convert_difference(value, source, target) == value * scale(source) / scale(target)
