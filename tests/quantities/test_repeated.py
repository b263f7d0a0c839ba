"""Repeated readings; Student's t and Grubbs' test against scipy and published tables."""

from __future__ import annotations

import random
from fractions import Fraction
from math import atan, cos, pi, radians, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.quantities.amount import Amount, parse_amount
from assistant.quantities.combining import combined
from assistant.quantities.propagation import Estimate
from assistant.quantities.repeated import (
    grubbs_critical,
    outlier,
    runout_from_quarter_turns,
)
from assistant.quantities.statistics_tables import student_cdf, student_quantile
from assistant.quantities.units import UnitError
from tests.lazily import Lazily
from tests.quantities.kit import a

stats = Lazily("scipy.stats")


def mm(*texts: str) -> list[Amount]:
    return [parse_amount(f"{t} mm") for t in texts]


def test_mean_and_range_are_exact_and_mix_units() -> None:
    readings = [a("1 thou"), a("0.0508 mm"), a("3 thou")]
    estimates = [Estimate(reading) for reading in readings]
    assert combined(estimates, "mean").amount == Amount(Fraction(2), "thou")
    assert combined(estimates, "range").amount == Amount(Fraction(2), "thou")
    with pytest.raises(UnitError):
        combined([Estimate(a("1 mm")), Estimate(a("1 N"))], "mean")


@settings(max_examples=150)
@given(st.floats(-20, 20), st.integers(1, 60))
def test_students_t_is_that_of_scipy(t: float, dof: int) -> None:
    # scipy itself is off by up to 7e-10 close to zero with one degree of freedom, where the exact
    # value is 1/2 + atan(t)/pi
    assert student_cdf(t, dof) == pytest.approx(stats.t.cdf(t, dof), abs=2e-9)
    assert student_cdf(t, 1) == pytest.approx(0.5 + atan(t) / pi, abs=1e-15)


@pytest.mark.parametrize("probability", [0.5, 0.9, 0.95, 0.975, 0.995, 0.9999])
@pytest.mark.parametrize("dof", [1, 2, 3, 4, 16, 60])
def test_quantiles_are_those_of_scipy(probability: float, dof: int) -> None:
    ours = student_quantile(probability, dof)
    assert ours == pytest.approx(stats.t.ppf(probability, dof), rel=1e-7, abs=1e-9)


def test_students_t_has_its_bounds() -> None:
    with pytest.raises(ValueError, match="degree of freedom"):
        student_cdf(1, 0)
    with pytest.raises(ValueError, match=r"0\.5"):
        student_quantile(0.4, 3)
    with pytest.raises(ValueError, match=r"0\.5"):
        student_quantile(1.0, 3)


@pytest.mark.parametrize(
    ("count", "printed"),
    # two-sided 5 % table for 3 to 8 observations as printed in a modification of ASTM E178,
    # cut rather than rounded in places
    [(3, 1.15), (4, 1.48), (5, 1.71), (6, 1.89), (7, 2.02), (8, 2.13)],
)
def test_critical_values_of_grubbs(count: int, printed: float) -> None:
    assert grubbs_critical(count) == pytest.approx(printed, abs=0.01)


def test_one_sided_critical_values_come_from_twice_the_significance() -> None:
    # NIST/SEMATECH e-Handbook 1.3.5.17.1, one-sided 5 %, n = 8: 2.032; 10: 2.176 (from memory)
    assert grubbs_critical(8, 0.10) == pytest.approx(2.032, abs=0.0005)
    assert grubbs_critical(10, 0.10) == pytest.approx(2.176, abs=0.0005)


def test_the_handbook_example() -> None:
    # NIST/SEMATECH e-Handbook 1.3.5.17.1: uranium isotope data of Tietjen and Moore (1972);
    # G = 2.4687 for 245.57 (from memory)
    data = ["199.31", "199.53", "200.19", "200.82", "201.92", "201.95", "202.18", "245.57"]
    found = outlier(mm(*data))
    assert found is not None
    assert found.index == 7
    assert found.statistic == pytest.approx(2.4687, abs=1e-4)


def test_nothing_stands_apart() -> None:
    assert outlier(mm("1.00", "1.01")) is None
    assert outlier(mm("1.00", "1.00", "1.00")) is None
    assert outlier(mm("1.00", "1.01", "1.02", "1.01")) is None


@settings(max_examples=100)
@given(st.lists(st.integers(-50, 50), min_size=3, max_size=12))
def test_grubbs_agrees_with_a_reference_in_binary(numbers: list[int]) -> None:
    values = [float(n) for n in numbers]
    centre = sum(values) / len(values)
    found = outlier([Amount(Fraction(n), "um") for n in numbers])
    if len(set(numbers)) == 1:
        assert found is None
        return
    s = stats.tstd(values)
    n = len(values)
    t = stats.t.isf(0.05 / (2 * n), n - 2)
    critical = (n - 1) / sqrt(n) * sqrt(t**2 / (n - 2 + t**2))
    statistic = max(abs(v - centre) for v in values) / s
    if abs(statistic - critical) > 1e-9:
        assert (found is not None) == (statistic > critical)


GRADUATION = Amount(Fraction(1, 10), "mm", Fraction(1, 10))


def test_one_graduation_never_stands_apart() -> None:
    coarse = mm("2.0", "2.0", "2.1")
    assert outlier(coarse) is not None, "what Grubbs' test alone says of two alike"
    assert outlier(coarse, graduation=GRADUATION) is None
    assert outlier(mm("2.0", "2.0", "9.9"), graduation=GRADUATION) is not None


def test_a_reading_within_the_uncertainty_of_the_others_does_not_stand_apart() -> None:
    readings = mm("2.00", "2.01", "2.00", "2.01", "2.15")
    assert outlier(readings, graduation=Amount(Fraction(1, 100), "mm")) is not None
    assert outlier(readings, uncertainty=Amount(Fraction(2, 10), "mm")) is None
    assert outlier(readings, uncertainty=Amount(Fraction(1, 10), "mm")) is not None


@pytest.mark.uncounted
@pytest.mark.parametrize("sigma", [0.2, 0.35, 0.5, 1.0, 2.0])
@pytest.mark.parametrize("count", [3, 5, 8])
def test_good_readings_on_a_coarse_scale_are_queried_no_oftener_than_the_test_promises(
    count: int, sigma: float
) -> None:
    """Normal readings, rounded to whole graduations: at 5 % at most, give or take the draw.

    With 600 draws the share has a standard deviation of 0.9 %, so 8 % is three of them off.
    """
    rng = random.Random(20260105)
    one = Amount(Fraction(1), "um", Fraction(1))
    asked = 0
    for _ in range(600):
        true = rng.random()
        seen = [Amount(Fraction(round(true + rng.gauss(0, sigma))), "um") for _ in range(count)]
        asked += outlier(seen, graduation=one) is not None
    assert asked / 600 < 0.08


@settings(max_examples=60)
@given(st.integers(0, 359), st.integers(1, 300), st.integers(-500, 500))
def test_quarter_turns_give_the_whole_movement_wherever_the_high_point_lies(
    phase: int, off: int, centre: int
) -> None:
    """Against a sweep of a full turn in degrees: an off-centre part moves as r + e cos."""

    def indicated(angle: int) -> float:
        return centre + off * cos(radians(angle - phase))

    quarters = [Amount(Fraction(indicated(angle)), "um") for angle in (0, 90, 180, 270)]
    sweep = [indicated(angle) for angle in range(360)]
    whole = max(sweep) - min(sweep)
    ours = float(runout_from_quarter_turns(quarters).value)
    assert ours == pytest.approx(2 * off, rel=1e-9)
    assert ours == pytest.approx(whole, rel=1e-3)


def test_largest_less_smallest_of_four_quarters_may_be_29_percent_short() -> None:
    # the high point midway between two readings: e cos(45) instead of e
    quarters = [
        Amount(Fraction(round(1000 * cos(radians(a - 45)))), "um") for a in (0, 90, 180, 270)
    ]
    sizes = [q.value for q in quarters]
    assert float(max(sizes) - min(sizes)) == pytest.approx(2000 / sqrt(2), abs=1)
    assert float(runout_from_quarter_turns(quarters).value) == pytest.approx(2000, abs=2)
    with pytest.raises(ValueError, match="four readings"):
        runout_from_quarter_turns([*quarters, quarters[0]])
