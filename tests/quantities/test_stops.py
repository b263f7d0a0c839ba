"""Runout from equally spaced stops: numpy's least squares is the reference."""

from __future__ import annotations

from fractions import Fraction
from math import cos, hypot, pi

import numpy as np
import pytest

from assistant.quantities.amount import Amount
from assistant.quantities.combining import combined, enough
from assistant.quantities.propagation import Estimate, UncertaintySource
from assistant.quantities.repeated import runout_from_quarter_turns, runout_from_stops


def amounts(values: list[Fraction]) -> list[Amount]:
    return [Amount(v, "um") for v in values]


@pytest.mark.parametrize("count", [4, 5, 6, 8, 12])
@pytest.mark.parametrize("phase", [0.0, 0.4, 2.0])
def test_a_round_part_off_centre_shows_twice_its_offset(count: int, phase: float) -> None:
    """Off centre by 30 um it reads c + 30 cos(t - phase), a full movement of 60."""
    seen = [Fraction(100 + 30 * cos(2 * pi * i / count - phase)) for i in range(count)]
    assert float(runout_from_stops(amounts(seen)).value) == pytest.approx(60, abs=1e-9)


@pytest.mark.parametrize("values", [[3, 9, -2, 5, 0, 7, 1, 4], [1, 2, 3, 4, 5], [0, 5, 0, 0]])
def test_the_wave_is_the_one_of_least_squares(values: list[int]) -> None:
    angles = 2 * np.pi * np.arange(len(values)) / len(values)
    design = np.column_stack([np.cos(angles), np.sin(angles), np.ones(len(values))])
    (a, b, _), *_ = np.linalg.lstsq(design, np.array(values, float), rcond=None)
    ours = runout_from_stops(amounts([Fraction(v) for v in values]))
    assert float(ours.value) == pytest.approx(2 * hypot(a, b), rel=1e-12)


def test_four_stops_are_quarter_turns_exactly() -> None:
    four = amounts([Fraction(v) for v in (7, 3, 1, 11)])
    assert runout_from_stops(four) == runout_from_quarter_turns(four)


def test_its_uncertainty_falls_with_the_number_of_stops() -> None:
    """GUM, first order: a stop counts 4/N cos(t - phase); of N stops that makes sqrt(8/N)."""
    for count in (4, 8, 16):
        seen = [Fraction(30 * cos(2 * pi * i / count - 0.7)) for i in range(count)]
        readings = [
            Estimate(Amount(v, "um"), {UncertaintySource(f"gauge {i}", str(i)): Fraction(1)}, None)
            for i, v in enumerate(seen)
        ]
        parts = combined(readings, "stops").parts
        assert parts is not None
        spread = sum(float(p) ** 2 for p in parts.values()) ** 0.5
        assert spread == pytest.approx((8 / count) ** 0.5, rel=1e-9)


def test_three_stops_are_too_few() -> None:
    assert not enough("stops", 3)
    with pytest.raises(ValueError, match="4"):
        runout_from_stops(amounts([Fraction(1), Fraction(2), Fraction(3)]))
