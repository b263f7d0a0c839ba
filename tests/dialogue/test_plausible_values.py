"""What a rehearsal reads: plausible by itself, in every row of a log, and for what is computed."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest

from assistant.dialogue.context import Context
from assistant.dialogue.kinds.log.drifting import drifting
from assistant.dialogue.kinds.measurement.plausible import at_places, middle, plausible
from assistant.language import Language
from assistant.procedure.kinds.log import LogStep
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.session.rehearsal import rehearse
from tests.dialogue.kit import GAUGES, LAST, procedure

THERMOMETER = {"id": "thermometer", "kind": "thermometer", "name": "thermometer", "unit": "degC",
               "resolution": "0.1 degC", "lower": "-10 degC", "upper": "150 degC"}  # fmt: skip
RUN_IN: dict[str, Any] = {
    "id": "run_in", "kind": "log", "every": "10 min", "for": "1 h", "stop": "Press stop.",
    "settled": "within 1 degC over 20 min", "at_least": "40 min",
    "readings": [{"quantity": "front bearing", "unit": "degC", "gauge": "thermometer",
                  "upper": "70 degC", "plausible_low": "-10 degC", "plausible_high": "120 degC"}],
}  # fmt: skip


def gap(gauge: str = "dial", **more: object) -> dict[str, Any]:
    return {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou",
            "gauge": gauge, **more}  # fmt: skip


def middle_of(**limits: str) -> str:
    made = procedure(gap(**limits))
    step = made.step("gap")
    assert isinstance(step, MeasurementStep)
    return str(middle(made, step))


@pytest.mark.parametrize(
    ("limits", "value"),
    [
        ({"lower": "2 thou", "upper": "6 thou"}, "4 thou"),
        ({"upper": "6 thou"}, "3 thou"),
        ({"upper": "-4 thou", "plausible_low": "-20 thou"}, "-12 thou"),
        ({"upper": "50 thou", "plausible_low": "40 thou"}, "45 thou"),
        ({"lower": "6 thou"}, "7.5 thou"),
        ({"lower": "6 thou", "plausible_high": "7 thou"}, "6.5 thou"),
        ({"plausible_low": "0 thou", "plausible_high": "9 thou"}, "4.5 thou"),
        # a mark is 0.1: the middle of the limits, 4.05, must not be rounded out of them
        ({"lower": "4.02 thou", "upper": "4.11 thou"}, "4.1 thou"),
    ],
)
def test_a_value_within_its_limits_or_what_is_plausible(limits: dict[str, str], value: str) -> None:
    assert middle_of(**limits) == value


def test_a_value_without_limits_is_one_that_later_steps_can_use() -> None:
    free = gap(plausible_low="0 thou", plausible_high="200 thou")
    whole = {"id": "whole", "kind": "derived", "quantity": "preload", "unit": "thou",
             "formula": "g - '30 thou'", "inputs": {"g": "gap"}}  # fmt: skip
    half = {"id": "half", "kind": "derived", "quantity": "half", "unit": "thou",
            "formula": "w / 2", "inputs": {"w": "whole"}, "lower": "1 thou",
            "upper": "3 thou"}  # fmt: skip
    made = procedure(free, whole, half, LAST)
    step = made.step("gap")
    assert isinstance(step, MeasurementStep)
    assert str(plausible(made, step)) == "34 thou", "(34 - 30) / 2 is the middle of 1 and 3"
    said = " ".join(t for s in rehearse(Context(made, Language.load("en-US"))) for t in s.said)
    assert "half: two thou. In limits." in said


def test_where_no_reading_is_of_use_it_stays_the_plain_one() -> None:
    free = gap(plausible_low="0 thou", plausible_high="9 thou")
    far = {"id": "far", "kind": "derived", "quantity": "far", "unit": "thou",
           "formula": "g + '30 thou'", "inputs": {"g": "gap"}, "upper": "3 thou"}  # fmt: skip
    made = procedure(free, far, LAST)
    step = made.step("gap")
    assert isinstance(step, MeasurementStep)
    assert str(plausible(made, step)) == "4.5 thou"


def test_places_differ_by_a_mark_where_nothing_is_computed_from_them() -> None:
    places = gap(positions="one to four", lower="2 thou", upper="6 thou")
    made = procedure(places, LAST)
    step = made.step("gap")
    assert isinstance(step, MeasurementStep)
    assert [str(a) for a in at_places(made, step)] == ["4 thou", "4.1 thou", "4 thou", "3.9 thou"]
    spread = {"id": "spread", "kind": "derived", "quantity": "spread", "unit": "thou",
              "formula": "g", "inputs": {"g": "gap"}, "combine": "range"}  # fmt: skip
    used = procedure(places, spread, LAST)
    assert {str(a) for a in at_places(used, step)} == {"4 thou"}
    tight = gap(positions="one to four", lower="4 thou", upper="4.1 thou")
    made = procedure(tight, LAST)
    step = made.step("gap")
    assert isinstance(step, MeasurementStep)
    assert len({str(a) for a in at_places(made, step)}) == 1, "no room for a mark more or less"


def rows(**more: object) -> list[Fraction]:
    made = procedure({**RUN_IN, **more}, LAST, gauges=[*GAUGES, THERMOMETER])
    step = made.step("run_in")
    assert isinstance(step, LogStep)
    return [a.value for a in drifting(made, step, step.readings[0])]


def test_a_log_rises_from_the_shop_and_settles_by_its_planned_end() -> None:
    found = rows()
    assert all(20 <= value <= 70 for value in found), "no colder than the shop, and in limits"
    assert all(one != other for one, other in pairwise(found)), "no two rows alike"
    assert found[:4] == sorted(found[:4])
    width = [max(found[k - 2 : k + 1]) - min(found[k - 2 : k + 1]) for k in range(2, 7)]
    assert width[0] > 1, "it is seen to settle"
    assert width[-1] <= 1, "over the last twenty minutes of the hour"


def test_what_may_not_change_by_a_mark_stays() -> None:
    assert len(set(rows(settled="within 0.05 degC over 20 min"))) == 1


def test_a_log_of_a_lower_limit_stays_above_it() -> None:
    low = {"quantity": "oil", "unit": "degC", "gauge": "thermometer", "lower": "60 degC",
           "upper": "60.2 degC", "plausible_high": "99 degC"}  # fmt: skip
    found = rows(readings=[low], settled=None)
    assert all(Fraction(60) <= value <= Fraction("60.2") for value in found)


def test_the_rehearsal_says_when_it_has_settled() -> None:
    made = procedure(RUN_IN, LAST, gauges=[*GAUGES, THERMOMETER])
    said = [t for s in rehearse(Context(made, Language.load("en-US"))) for t in s.said]
    assert any("The values have settled" in text for text in said)
    assert "Row 6 of 7 is due." in said
    assert len({text for text in said if text.startswith("front bearing: ")}) >= 5
