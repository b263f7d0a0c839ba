"""Wrench settings against published adapter examples; rounding; range; prevailing torque."""

from __future__ import annotations

from fractions import Fraction
from math import cos, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.quantities.amount import Amount
from assistant.quantities.wrench import (
    Adapter,
    TighteningError,
    WantedTorque,
    WrenchScale,
    adapter,
    nearest_mark,
    percent,
    wrench_error,
    wrench_setting,
)
from tests.quantities.kit import a
from tests.quantities.refusals import refused


@pytest.mark.parametrize(
    ("torque", "length", "extension", "angle", "reading"),
    [
        # FAA AC 43.13-1B figure 7-2 (from memory): T 135 in-lb, L 10 in, E 1.5 in
        ("135 lbf*in", "10 in", "1.5 in", "0 deg", 117.39),
        ("135 lbf*in", "10 in", "1.5 in", "180 deg", 158.82),
        # NAVEDTRA 14315, drive-end extension: 100 in-lb, 12 in and 6 in give 66.7
        ("100 lbf*in", "12 in", "6 in", "0 deg", 66.7),
        # TM 1-1500-204-23-9, 8-15: 300 in-lb, 10 in and 4 in give 214
        ("300 lbf*in", "10 in", "4 in", "0 deg", 214),
    ],
)
def test_published_adapter_examples(
    torque: str, length: str, extension: str, angle: str, reading: float
) -> None:
    found = adapter(a(length), a(extension), a(angle))
    exact = float(a(torque).value * found.factor)
    digits = len(str(reading).partition(".")[2])
    assert round(exact, digits) == pytest.approx(reading)


@pytest.mark.parametrize(
    ("angle", "direction"),
    [("0 deg", "lower"), ("60 deg", "lower"), ("90 deg", "same"), ("-90 deg", "same"),
     ("270 deg", "same"), ("120 deg", "higher"), ("180 deg", "higher"), ("360 deg", "lower")],
)  # fmt: skip
def test_the_direction_is_stated(angle: str, direction: str) -> None:
    assert adapter(a("300 mm"), a("40 mm"), a(angle)).direction == direction


def test_sixty_degrees_is_exact() -> None:
    assert adapter(a("300 mm"), a("40 mm"), a("60 deg")).factor == Fraction(300, 320)


@given(st.integers(0, 720), st.integers(1, 299))
def test_any_angle_follows_the_formula(degrees: int, extension: int) -> None:
    # TM 9-254, angled extension: effective length L + E cos a
    found = adapter(a("300 mm"), a(f"{extension} mm"), a(f"{degrees} deg"))
    expected = 300 / (300 + extension * cos(radians(degrees)))
    assert float(found.factor) == pytest.approx(expected, rel=1e-9)
    assert found.direction == (
        "same" if found.factor == 1 else "lower" if found.factor < 1 else "higher"
    )


@pytest.mark.parametrize(
    ("length", "extension", "angle", "part"),
    [
        ("10 N", "1 in", "0 deg", "measured as lengths"),
        ("10 in", "1 N", "0 deg", "measured as lengths"),
        ("10 in", "1 in", "1 mm", "is not an angle"),
        ("0 in", "1 in", "0 deg", "must be above zero"),
        ("10 in", "-1 in", "0 deg", "must be above zero"),
        ("10 in", "10 in", "180 deg", "past the hand"),
    ],
)
def test_impossible_adapters(length: str, extension: str, angle: str, part: str) -> None:
    with refused(part):
        adapter(a(length), a(extension), a(angle))


def test_conversion_to_the_wrench_and_rounding() -> None:
    # 19 N*m = 14.014 lbf*ft (NIST SP 811: 1 lbf*ft = 1.355818 N*m)
    setting = wrench_setting(
        WantedTorque(a("19 N*m"), tolerance=a("1 N*m")), WrenchScale(a("1 lbf*ft"))
    )
    assert setting.setting == a("14 lbf*ft")
    assert float(setting.off.value) == pytest.approx(14 - 19 / 1.355818, abs=1e-6)


def test_halfway_goes_down() -> None:
    assert wrench_setting(WantedTorque(a("12.5 N*m")), WrenchScale(a("1 N*m"))).setting == a(
        "12 N*m"
    )
    assert wrench_setting(WantedTorque(a("12.6 N*m")), WrenchScale(a("1 N*m"))).setting == a(
        "13 N*m"
    )


def test_prevailing_torque_is_added_before_the_adapter() -> None:
    # FAA AC 43.13-1B 7-40: "Add the friction drag torque to the desired torque"
    setting = wrench_setting(
        WantedTorque(a("135 lbf*in"), prevailing=a("15 lbf*in")),
        WrenchScale(a("1 lbf*in")),
        adapter(a("10 in"), a("2 in"), a("0 deg")),
    )
    assert setting.setting == a("125 lbf*in")


@pytest.mark.parametrize(
    ("wanted", "scale", "part"),
    [
        (WantedTorque(a("5 mm")), WrenchScale(a("1 N*m")), "5 mm is not a torque"),
        (WantedTorque(a("5 N*m")), WrenchScale(a("1 mm")), "1 mm is not a torque"),
        (WantedTorque(a("5 N*m")), WrenchScale(a("0 N*m")), "has no graduation"),
        (WantedTorque(a("0 N*m")), WrenchScale(a("1 N*m")), "give one above zero"),
        (WantedTorque(a("5 N*m"), prevailing=a("-1 N*m")), WrenchScale(a("1 N*m")), "under zero"),
        (
            WantedTorque(a("7.5 N*m"), tolerance=a("0.4 N*m")),
            WrenchScale(a("1 N*m")),
            "use a finer tool",
        ),
        (
            WantedTorque(a("50 N*m")),
            WrenchScale(a("1 N*m"), upper=a("40 N*m")),
            "use a bigger tool",
        ),
        (
            WantedTorque(a("5 N*m")),
            WrenchScale(a("1 N*m"), lower=a("8 N*m")),
            "use a smaller tool",
        ),
        (WantedTorque(a("0.3 N*m")), WrenchScale(a("1 N*m")), "use a finer tool"),
        (
            WantedTorque(a("6 lbf*ft")),
            WrenchScale(a("10 lbf*ft")),
            "No tolerance is given, and no mark",
        ),
        (WantedTorque(a("11 lbf*ft")), WrenchScale(a("10 N*m")), "use a finer tool"),
        (
            WantedTorque(a("0.3 N*m"), tolerance=a("0.1 N*m")),
            WrenchScale(a("1 N*m")),
            "use a finer tool",
        ),
    ],
)
def test_refusals(wanted: WantedTorque, scale: WrenchScale, part: str) -> None:
    with refused(part.replace("*", r"\*")):
        wrench_setting(wanted, scale)


@pytest.mark.parametrize(
    ("target", "graduation", "given"),
    [
        ("10 N*m", "11 N*m", "11 N*m"),
        ("10 N*m", "9 N*m", "9 N*m"),
        ("25 N*m", "5.5 N*m", "27.5 N*m"),
    ],
)
def test_a_torque_without_a_tolerance_may_be_off_by_a_tenth_and_no_more(
    target: str, graduation: str, given: str
) -> None:
    # common practice, no source: a tenth of the target, both ends allowed
    found = wrench_setting(WantedTorque(a(target)), WrenchScale(a(graduation)))
    assert found.setting == a(given)
    finer = a(graduation).value + (Fraction(1, 1000) if found.off.value > 0 else Fraction(-1, 1000))
    with refused("No tolerance is given"):
        wrench_setting(WantedTorque(a(target)), WrenchScale(Amount(finer, "N*m")))


torques = st.integers(10, 2000).map(lambda n: Amount(Fraction(n, 10), "N*m"))
wrench_units = st.sampled_from(["N*m", "lbf*ft"])
factors = st.fractions(Fraction(1, 2), 2, max_denominator=50)


@given(torques, st.integers(1, 50), st.integers(1, 100), factors, wrench_units)
def test_a_setting_is_on_a_mark_and_never_past_the_tolerance(
    target: Amount, step: int, slack: int, factor: Fraction, unit: str
) -> None:
    graduation = Amount(Fraction(step, 10), unit)
    tolerance = Amount(Fraction(slack, 10), "N*m")
    fitted = Adapter(factor, "same")
    try:
        found = wrench_setting(
            WantedTorque(target, tolerance=tolerance), WrenchScale(graduation), fitted
        )
    except TighteningError:
        exact = target.to(unit).value * factor
        marks = [nearest_mark(exact, graduation.value) + k * graduation.value for k in (-1, 0, 1)]
        at_bolt = [Amount(m / factor, unit).to("N*m").value for m in marks if m > 0]
        assert all(abs(t - target.value) > tolerance.value for t in at_bolt)
        return
    assert (found.setting.value / graduation.value).denominator == 1
    at_bolt_now = Amount(found.setting.value / factor, unit).to("N*m").value
    assert abs(at_bolt_now - target.value) <= tolerance.value


def test_a_share_is_told_in_percent() -> None:
    assert percent(Fraction(1, 10)) == "10 %"
    assert percent(Fraction(125, 1000)) == "12.5 %"


def test_the_shortest_adapter_and_no_drag_are_allowed() -> None:
    assert adapter(a("300 mm"), a("0.5 mm"), a("0 deg")).direction == "lower"
    assert adapter(a("300 mm"), a("0 mm"), a("0 deg")).direction == "same"
    assert adapter(a("300 mm"), a("60 mm"), a("90 deg")) == Adapter(Fraction(1), "same")
    plain = wrench_setting(WantedTorque(a("20 N*m")), WrenchScale(a("1 N*m")))
    assert (
        wrench_setting(WantedTorque(a("20 N*m"), prevailing=a("0 N*m")), WrenchScale(a("1 N*m")))
        == plain
    )


def test_what_a_wrench_may_be_off_by() -> None:
    # ISO 6789-1:2017, 5.1.5 (from memory); the same figures are in the instructions of a type II
    # class A wrench: 4 % over 10 N*m, 6 % up to it
    assert wrench_error(a("60 N*m")) == Fraction(4, 100)
    assert wrench_error(a("10 N*m")) == Fraction(6, 100)
    assert wrench_error(a("80 lbf*in")) == Fraction(6, 100)  # 9 N*m
