"""Stress areas and proof loads against published tables of ISO 898-1 and SAE J429."""

from __future__ import annotations

from fractions import Fraction

import pytest

from assistant.quantities.amount import Amount
from assistant.quantities.joint import (
    JointError,
    proof_load,
    proof_stress,
    torque_for,
    torque_query,
    turned_on,
)
from assistant.quantities.threads import ThreadError, thread
from tests.quantities.kit import a

# ISO 898-1 table 5, nominal stress area in mm2 for coarse threads
AREAS = {
    "M3": 5.03, "M4": 8.78, "M5": 14.2, "M6": 20.1, "M8": 36.6, "M10": 58.0, "M12": 84.3,
    "M14": 115, "M16": 157, "M18": 192, "M20": 245, "M22": 303, "M24": 353, "M27": 459,
    "M30": 561, "M33": 694, "M36": 817, "M39": 976,
}  # fmt: skip

# ISO 898-1 table 5, proof loads in N
PROOF = {
    ("M5", "8.8"): 8230, ("M6", "8.8"): 11600, ("M8", "8.8"): 21200, ("M10", "8.8"): 33700,
    ("M12", "8.8"): 48900, ("M16", "8.8"): 91000, ("M20", "8.8"): 147000, ("M24", "8.8"): 212000,
    ("M8", "4.6"): 8240, ("M8", "4.8"): 11400, ("M8", "5.6"): 10200, ("M8", "5.8"): 13900,
    ("M8", "6.8"): 16100, ("M8", "9.8"): 23800, ("M8", "10.9"): 30400, ("M8", "12.9"): 35500,
    ("M12", "10.9"): 70000, ("M20", "10.9"): 203000, ("M16", "12.9"): 152000,
}  # fmt: skip


@pytest.mark.parametrize("size", AREAS)
def test_stress_areas_are_those_of_iso_898_1(size: str) -> None:
    assert float(f"{thread(size).stress_area:.3g}") == AREAS[size]


@pytest.mark.parametrize(("size", "grade"), PROOF)
def test_proof_loads_are_those_of_iso_898_1(size: str, grade: str) -> None:
    # the standard rounds area and load to three figures, or cuts them (M6 8.8 by 0.6 %)
    assert float(proof_load(thread(size), grade).value) == pytest.approx(
        PROOF[size, grade], rel=0.0065
    )


@pytest.mark.parametrize(
    ("size", "area"),
    # ASME B1.1 tensile stress areas in square inches, from memory
    [("1/4-20", 0.0318), ("5/16-18", 0.0524), ("3/8-16", 0.0775), ("1/2-13", 0.1419),
     ("3/4-10", 0.334), ("1-8", 0.606)],
)  # fmt: skip
def test_inch_stress_areas(size: str, area: float) -> None:
    digits = len(str(area)) - 2
    assert round(thread(size).stress_area / 645.16, digits) == pytest.approx(area)


@pytest.mark.parametrize(
    ("size", "grade", "clamp"),
    # Published clamp loads at 75 % of SAE J429 proof load, in lbf (they use rounded areas)
    [("1/4-20", "grade 2", 1312), ("3/8-16", "grade 2", 3197), ("1/2-13", "grade 2", 5853),
     ("7/8-9", "grade 2", 11435), ("1-8", "grade 2", 14999)],
)  # fmt: skip
def test_sae_proof_loads(size: str, grade: str, clamp: int) -> None:
    load = proof_load(thread(size), grade).to("lbf")
    assert float(load.value) * 0.75 == pytest.approx(clamp, rel=0.002)


def test_sae_proof_stresses() -> None:
    # SAE J429: grade 5 85 000 psi to 1 in and 74 000 over, grade 8 120 000 psi
    assert float(proof_stress(thread("1-8"), "grade 5")) == pytest.approx(85_000 * 0.006894757)
    assert float(proof_stress(thread("5/4-7"), "grade 5")) == pytest.approx(74_000 * 0.006894757)
    assert float(proof_stress(thread("1-8"), "grade 8")) == pytest.approx(827.4, abs=0.05)


def test_torque_is_k_d_f() -> None:
    # common practice, no source: T = K d F; 0.2 x 10 mm x 25 kN = 50 N*m
    assert torque_for(a("25000 N"), a("10 mm"), Fraction("0.2")) == Amount(Fraction(50), "N*m")


def test_a_usual_torque_is_not_queried() -> None:
    # common practice, no source: M8 8.8 lightly oiled takes about 19 to 25 N*m
    asked = torque_query(a("20 N*m"), thread("M8"), "8.8", "lubricated")
    assert asked.query is None
    assert float(asked.share) == pytest.approx(20 / (0.15 * 0.008 * 21233), rel=1e-3)


def test_dry_numbers_on_an_oiled_bolt_are_queried() -> None:
    told = torque_query(a("32 N*m"), thread("M8"), "8.8", "lubricated").query
    assert told == (
        "32 N*m would load this bolt to 126 % of its proof load and may stretch it for good; "
        "check the manual before you tighten."
    )


@pytest.mark.parametrize(("torque", "word"), [("4 N*m", "little"), ("24 N*m", "much")])
def test_torques_out_of_the_usual_are_queried(torque: str, word: str) -> None:
    told = torque_query(a(torque), thread("M8"), "8.8", "lubricated").query
    assert told is not None
    assert f"which is {word}; check the torque" in told


@pytest.mark.parametrize(
    "text",
    [
        "",
        "M7.5",
        "M8x9",
        "M8x0",
        "8",
        "1/0-20",
        "1/4-0",
        "1/4-2",
        "x",
        "M100x6",
        "M9",
        "M8x1.5",
        "M45x5",
        "10-20",
        "7-32",
        "11-24",
        "2-4",
        "100-32",
        "3-4",
    ],
)
def test_unknown_threads(text: str) -> None:
    with pytest.raises(ThreadError, match="is not a known thread"):
        thread(text)


def test_fine_threads() -> None:
    # ISO 898-1 table 7: M8x1 39.2 mm2, M10x1.25 61.2 mm2
    assert thread("M8x1").stress_area == pytest.approx(39.2, abs=0.05)
    assert thread("M10x1.25").stress_area == pytest.approx(61.2, abs=0.05)


def test_unknown_classes() -> None:
    with pytest.raises(JointError, match=r"'7\.7' is not a known property class; use one of"):
        proof_stress(thread("M8"), "7.7")


@pytest.mark.parametrize(
    ("size", "diameter", "area"),
    # ASME B1.1 by number: basic major diameter and tensile stress area, in and square inches, as
    # handbooks print them
    [("4-40", "0.112", 0.00604), ("6-32", "0.138", 0.00909), ("8-32", "0.164", 0.0140),
     ("10-24", "0.190", 0.0175), ("10-32", "0.190", 0.0200), ("12-24", "0.216", 0.0242),
     ("1-64", "0.073", 0.00263), ("0-80", "0.060", 0.00180)],
)  # fmt: skip
def test_number_sizes_are_unified_threads_by_number(size: str, diameter: str, area: float) -> None:
    assert thread(size).diameter == Amount(Fraction(diameter), "in")
    assert thread(size).stress_area / 645.16 == pytest.approx(area, rel=0.004)


def test_a_number_size_is_not_taken_for_inches() -> None:
    asked = torque_query(a("18 N*m"), thread("10-32"), "grade 8", "dry")
    # K d F with F = 120 000 psi x 0.0200 in2 = 10.68 kN and d = 4.826 mm: 10.3 N*m
    assert round(asked.share * 100) == pytest.approx(175, abs=1)
    assert asked.query is not None
    assert "may stretch it for good" in asked.query


def test_whole_inches_stay_inches() -> None:
    assert thread("1-8").diameter == Amount(Fraction(1), "in")
    assert thread("1 1/4-7") == thread("1-1/4-7") == thread("5/4-7")


@pytest.mark.parametrize(
    "sizes",
    # ISO 262: the selected sizes for screws, bolts and nuts
    ["M1x0.25", "M1.2x0.25", "M1.4x0.3", "M1.6x0.35", "M1.8x0.35", "M2x0.4", "M2.5x0.45",
     "M3x0.5", "M3.5x0.6", "M4x0.7", "M5x0.8", "M6x1", "M7x1", "M8x1.25 M8x1",
     "M10x1.5 M10x1.25 M10x1", "M12x1.75 M12x1.5 M12x1.25", "M14x2 M14x1.5", "M16x2 M16x1.5",
     "M18x2.5 M18x2 M18x1.5", "M20x2.5 M20x2 M20x1.5", "M22x2.5 M22x2 M22x1.5", "M24x3 M24x2",
     "M27x3 M27x2", "M30x3.5 M30x2", "M33x3.5 M33x2", "M36x4 M36x3", "M39x4 M39x3",
     "M42x4.5 M42x3", "M45x4.5 M45x3", "M48x5 M48x3", "M52x5 M52x4", "M56x5.5 M56x4",
     "M60x5.5 M60x4", "M64x6 M64x4"],
)  # fmt: skip
def test_every_size_of_iso_262_is_known_and_its_first_pitch_is_the_coarse_one(sizes: str) -> None:
    first, *fine = sizes.split()
    assert thread(first.split("x")[0]) == thread(first)
    assert thread(first).coarse
    assert not any(thread(size).coarse for size in fine)


@pytest.mark.parametrize(
    ("size", "grade", "part"),
    [("M18", "9.8", "ends at M16"), ("M16x1.5", "9.8", ""), ("M42", "8.8", "does not cover M42"),
     ("M1.4", "8.8", "does not cover M1.4"), ("M6x0.75", "8.8", "does not cover M6x0.75"),
     ("M39x3", "8.8", ""), ("M1.6", "8.8", ""), ("10-32", "12.9", "does not cover 0.19 in with 32"),
     ("M8", "grade 5", "does not cover M8"), ("1 3/4-5", "grade 5", "does not cover 1.75 in"),
     ("1 1/2-6", "grade 8", "")],
)  # fmt: skip
def test_a_class_holds_for_the_threads_of_its_standard_only(
    size: str, grade: str, part: str
) -> None:
    # ISO 898-1 clause 1 and table 3; SAE J429: inch threads to 1 1/2 inclusive
    if not part:
        assert proof_stress(thread(size), grade) > 0
        return
    with pytest.raises(JointError, match=part):
        proof_stress(thread(size), grade)


def test_the_torque_at_the_proof_load_is_told_with_the_query() -> None:
    # F = 36.6 mm2 x 580 MPa = 21 233 N by the exact area; T = 0.2 x 8 mm x F (common practice)
    asked = torque_query(a("20 N*m"), thread("M8"), "8.8", "dry")
    assert asked.share == Fraction(20) / Fraction("33.9728")


def test_the_ends_of_iso_898_1() -> None:
    # ISO 898-1 clause 1: M1.6 to M39, fine pitches from M8x1
    assert proof_stress(thread("M1.6"), "8.8") == 580
    assert proof_stress(thread("M39"), "8.8") == 600
    assert proof_stress(thread("M8x1"), "8.8") == 580
    assert proof_stress(thread("M16"), "9.8") == 650


def test_half_of_the_proof_load_is_usual_and_nine_tenths_too() -> None:
    # the torque at the proof load is 33.9728 N*m (see above); the usual share is common practice
    full = Fraction("33.9728")
    for share, usual in (("0.5", True), ("0.9", True), ("0.499", False), ("0.901", False)):
        asked = torque_query(Amount(full * Fraction(share), "N*m"), thread("M8"), "8.8", "dry")
        assert (asked.query is None) is usual, share


@pytest.mark.parametrize(
    ("grade", "stress"),
    # ISO 3506-1 table 2, stress at 0.2 % strain in MPa (from memory)
    [("A2-50", 210), ("A2-70", 450), ("A4-70", 450), ("A4-80", 600)],
)
def test_stainless_classes(grade: str, stress: int) -> None:
    assert proof_stress(thread("M10"), grade) == stress
    with pytest.raises(JointError, match="ISO 3506-1 does not cover M42"):
        proof_stress(thread("M42"), grade)
    with pytest.raises(JointError, match=r"ISO 3506-1 does not cover 0\.25 in"):
        proof_stress(thread("1/4-20"), grade)


@pytest.mark.parametrize(
    ("grade", "psi", "largest", "beyond"),
    # SAE J429 (from memory)
    [("grade 4", 65_000, "1 1/2-6", "1 3/4-5"), ("grade 5.1", 85_000, "5/8-11", "3/4-10"),
     ("grade 5.2", 85_000, "1-8", "9/8-7"), ("grade 8.2", 120_000, "1-8", "9/8-7")],
)  # fmt: skip
def test_rarer_sae_grades(grade: str, psi: int, largest: str, beyond: str) -> None:
    assert float(proof_stress(thread(largest), grade)) == pytest.approx(psi * 0.006894757)
    with pytest.raises(JointError, match="does not cover"):
        proof_stress(thread(beyond), grade)


def test_there_is_no_metric_class_5_2() -> None:
    # ISO 898-1 has none for bolts, and ISO 898-2 names nut classes by one number (from memory)
    with pytest.raises(JointError, match=r"'5\.2' is not a known property class"):
        proof_stress(thread("M8"), "5.2")


def test_a_turn_in_a_stiff_joint_is_all_stretch() -> None:
    # M10 10.9, grip 60 mm: at 830 MPa it stretches 830 x 60 / 205 000 = 0.243 mm (Hooke). A turn of
    # 90 degrees advances a quarter of its pitch, 1.5 / 4 = 0.375 mm: 1.54 times as much
    found = turned_on(Fraction(3, 10), a("90 deg"), thread("M10"), "10.9", a("60 mm"))
    assert float(found.most) == pytest.approx(0.3 + 0.375 / 0.2429, abs=0.002)
    with pytest.raises(JointError, match="above zero"):
        turned_on(Fraction(0), a("90 deg"), thread("M10"), "10.9", a("0 mm"))


@pytest.mark.parametrize("size", ["M1.6", "M2", "M2.5", "M42", "M48", "M56", "M64"])
def test_coarse_stress_areas_beyond_the_usual(size: str) -> None:
    # ISO 898-1:2013 table 4 for M1.6 to M2.5 is from memory, and so are DIN 13-28's larger sizes
    areas = {"M1.6": 1.27, "M2": 2.07, "M2.5": 3.39, "M42": 1121, "M48": 1473, "M56": 2030,
             "M64": 2676}  # fmt: skip
    assert thread(size).stress_area == pytest.approx(areas[size], rel=0.003)
