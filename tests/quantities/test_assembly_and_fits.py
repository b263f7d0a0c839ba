"""Assembly sums by hand; fits against published extracts of ISO 286-2."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from assistant.language.english import in_english
from assistant.quantities.amount import Amount
from assistant.quantities.assembly import (
    bolt_stretch,
    compressed_clearance,
    compressed_share,
    drop,
    pull_for,
    stretch_for,
    turning_torque,
)
from assistant.quantities.correction import EXPANSION
from assistant.quantities.fits import FitError, ShrinkFit, class_limits, deviations, fit, heat_for
from assistant.quantities.problem import Problem
from assistant.quantities.units import UnitError
from tests.quantities.kit import a


def test_the_string_pull_shows_the_preload() -> None:
    # by definition: torque = force x lever; 20 N at 50 mm is 1 N*m; 3 lbf at 4 in is 12 lbf*in
    assert turning_torque(a("20 N"), a("50 mm")) == Amount(Fraction(1), "N*m")
    assert turning_torque(a("3 lbf"), a("4 in"), "lbf*in").value == 12
    assert pull_for(a("12 lbf*in"), a("4 in"), "lbf").value == 3
    with pytest.raises(UnitError, match="20 mm is not a force"):
        turning_torque(a("20 mm"), a("50 mm"))
    with pytest.raises(UnitError, match="50 N is not a length"):
        turning_torque(a("20 N"), a("50 N"))
    with pytest.raises(UnitError, match="above zero"):
        pull_for(a("1 N*m"), a("0 mm"))


def test_bolt_stretch() -> None:
    assert bolt_stretch(a("80.00 mm"), a("80.12 mm")).value == Fraction("0.12")
    # Hooke's law by hand: 20 kN on 36.6 mm2 over 60 mm of steel, 205 GPa: 0.1599 mm
    assert stretch_for(a("20000 N"), a("60 mm"), 36.6) == a("159.9 um")
    with pytest.raises(UnitError, match="above zero"):
        stretch_for(a("20000 N"), a("60 mm"), 0)


def test_drop_and_compression() -> None:
    assert drop(a("1.60 mm"), a("1.20 mm")).value == Fraction("0.4")
    assert compressed_share(a("1.60 mm"), a("1.20 mm")) == Fraction(1, 4)
    assert compressed_clearance(a("0.90 mm"), a("1.60 mm"), a("1.20 mm")).value == Fraction("0.5")
    with pytest.raises(UnitError, match="above zero"):
        compressed_share(a("0 mm"), a("0 mm"))
    with pytest.raises(UnitError, match="not a length"):
        drop(a("1 N"), a("1 mm"))


# ISO 286-2 as extracted in a published table (DIN ISO 286): size, class, lower, upper in um
ISO_286_2 = [
    (2, "E8", 14, 28), (2, "F7", 6, 16), (2, "G6", 2, 8), (2, "G7", 2, 12), (2, "D9", 20, 45),
    (5, "E8", 20, 38), (5, "F7", 10, 22), (5, "G6", 4, 12), (5, "H8", 0, 18), (5, "D9", 30, 60),
    (8, "E8", 25, 47), (8, "F7", 13, 28), (8, "G6", 5, 14), (8, "H9", 0, 36), (8, "D9", 40, 76),
    (15, "E8", 32, 59), (15, "F7", 16, 34), (15, "G6", 6, 17), (15, "H10", 0, 70),
    (25, "E8", 40, 73), (25, "F7", 20, 41), (25, "G6", 7, 20), (25, "H11", 0, 130),
    (40, "E8", 50, 89), (40, "F7", 25, 50), (40, "G6", 9, 25), (40, "G7", 9, 34),
    (60, "E8", 60, 106), (60, "F7", 30, 60), (60, "G6", 10, 29), (60, "G7", 10, 40),
    (100, "E8", 72, 126), (100, "F7", 36, 71), (100, "G6", 12, 34), (100, "D9", 120, 207),
    (150, "E8", 85, 148), (150, "F7", 43, 83), (150, "G6", 14, 39), (150, "D9", 145, 245),
    (200, "E8", 100, 172), (200, "F7", 50, 96), (200, "G6", 15, 44), (200, "D9", 170, 285),
    (25, "H7", 0, 21), (25, "g6", -20, -7), (50, "H7", 0, 25), (50, "g6", -25, -9),
    # published tables of h tolerances
    (25, "h6", -13, 0), (40, "h7", -25, 0), (60, "h8", -46, 0), (100, "h9", -87, 0),
    (150, "h10", -160, 0), (200, "h11", -290, 0), (4, "h5", -5, 0), (250, "h5", -20, 0),
    # from memory
    (25, "k6", 2, 15), (25, "m6", 8, 21), (25, "n6", 15, 28), (25, "p6", 22, 35),
    (50, "p6", 26, 42), (25, "f7", -41, -20), (80, "e8", -106, -60),
]  # fmt: skip


@pytest.mark.parametrize(("size", "name", "low", "high"), ISO_286_2)
def test_deviations_are_those_of_iso_286_2(size: int, name: str, low: int, high: int) -> None:
    assert deviations(a(f"{size} mm"), name) == (Fraction(low), Fraction(high))


def test_js_lies_to_both_sides() -> None:
    # ISO 286-2 (published extract): 2 mm JS9 is plus and minus 12.5 um
    assert deviations(a("2 mm"), "JS9") == (Fraction("-12.5"), Fraction("12.5"))
    assert deviations(a("25 mm"), "js6") == (Fraction("-6.5"), Fraction("6.5"))


def test_standard_tolerances_follow_the_formula_of_iso_286_1() -> None:
    """ISO 286-1 annex: i = 0.45 D^(1/3) + 0.001 D, IT6 to IT11 = 10 16 25 40 64 100 i.

    D is the geometric mean of the range; the standard rounds, by up to a tenth for small sizes.
    """
    tops = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250)
    factors = {6: 10, 7: 16, 8: 25, 9: 40, 10: 64, 11: 100}
    for low, top in pairwise(tops):
        middle = (low * top) ** 0.5
        unit = 0.45 * middle ** (1 / 3) + 0.001 * middle
        for grade, factor in factors.items():
            width = -float(deviations(a(f"{top} mm"), f"h{grade}")[0])
            assert width == pytest.approx(factor * unit, rel=0.1), (top, grade)


def test_a_sliding_fit() -> None:
    # ISO 286-2: 25 H7 +21/0, g6 -7/-20 give 7 to 41 um of clearance
    sliding = fit(a("25 mm"), "H7", "g6")
    assert (sliding.least, sliding.greatest) == (
        Amount(Fraction("0.007"), "mm"),
        Amount(Fraction("0.041"), "mm"),
    )
    # published worked example: 50 H7/p6 gives 1 to 42 um of interference
    pressed = fit(a("50 mm"), "H7", "p6")
    assert (pressed.least.value, pressed.greatest.value) == (
        Fraction("-0.042"),
        Fraction("-0.001"),
    )
    size = class_limits(a("25 mm"), "H7")
    assert size.lower == Amount(Fraction(25), "mm")
    assert size.upper == Amount(Fraction("25.021"), "mm")


@pytest.mark.parametrize(
    ("size", "name", "part"),
    [
        ("25 mm", "Q7", "is not in the tables"),
        ("25 mm", "H14", "is not in the tables"),
        ("25 mm", "", "is not in the tables"),
        ("25 mm", "k8", "use grades 5 to 7"),
        ("251 mm", "H7", "which reach to 250 mm"),
        ("0 mm", "H7", "which reach to 250 mm"),
    ],
)
def test_outside_the_tables(size: str, name: str, part: str) -> None:
    with pytest.raises(FitError, match=part):
        class_limits(a(size), name)


def test_a_hole_is_written_large() -> None:
    for hole, shaft in (("h7", "g6"), ("H7", "G6"), ("", "g6")):
        with pytest.raises(FitError, match="written large"):
            fit(a("25 mm"), hole, shaft)


def test_heat_for_a_shrink_fit() -> None:
    # by hand: 50 mm of steel, 42 um interference + 50 um to spare: 92/(50 x 11.5e-3) = 160 degC up
    steel = EXPANSION["steel"]
    assert heat_for(ShrinkFit(a("50 mm"), a("42 um"), a("50 um")), steel, a("20 degC")) == Amount(
        Fraction(180), "degC", Fraction(1)
    )
    told = heat_for(
        ShrinkFit(a("50 mm"), a("42 um"), a("50 um")), steel, a("20 degC"), a("110 degC")
    )
    assert isinstance(told, Problem)
    assert in_english(told) == (
        "The fit needs 180 degC, over the 110 degC that the part bears; cool the shaft too."
    )
    loose = heat_for(ShrinkFit(a("50 mm"), a("-42 um"), a("10 um")), steel, a("68 degF"))
    assert loose == Amount(Fraction(20), "degC", Fraction(1))
    with pytest.raises(FitError, match="above zero"):
        heat_for(ShrinkFit(a("0 mm"), a("42 um"), a("50 um")), steel, a("20 degC"))


@pytest.mark.parametrize(
    ("tolerance_class", "low", "high"),
    [("H7", "25 mm", "25.021 mm"), ("g6", "24.98 mm", "24.993 mm")],  # ISO 286-2, 25 mm
)
def test_limits_of_size_in_millimetres(tolerance_class: str, low: str, high: str) -> None:
    found = class_limits(a("25 mm"), tolerance_class)
    assert (str(found.lower), str(found.upper)) == (low, high)


def test_the_smallest_sizes_are_in_the_tables() -> None:
    # ISO 286-1 table 1: to 3 mm, grade 7 is 10 um
    assert deviations(a("0.5 mm"), "H7") == (0, 10)
    assert deviations(a("3 mm"), "H7") == (0, 10)
    assert deviations(a("250 mm"), "H7") == (0, 46)


def test_a_thin_shaft_has_a_radius_too() -> None:
    assert pull_for(a("1 N*m"), a("0.5 mm")) == Amount(Fraction(2000), "N")
