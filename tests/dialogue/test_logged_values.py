"""Values of a log in formulas and conditions: last, highest, rise and rate, exact at a limit."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Any

import pytest

from assistant.dialogue.events import Resumed, TimerElapsed
from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.log.facts import RowMissed
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.states import Blocked, GoingBack, OutOfLimit
from assistant.quantities.amount import parse_amount
from tests.dialogue.kit import GAUGES, Bench, procedure, replay

THERMO = {"id": "thermo", "kind": "thermometer", "name": "thermometer", "unit": "degC",
          "resolution": "0.1 degC", "lower": "0 degC", "upper": "150 degC",
          "uncertainty": "0.4 degC"}  # fmt: skip
FRONT = {"quantity": "front bearing", "unit": "degC", "gauge": "thermo", "upper": "70 degC",
         "plausible_low": "0 degC", "plausible_high": "120 degC"}  # fmt: skip
LOG: dict[str, Any] = {
    "id": "run_in", "kind": "log", "every": "10 min", "for": "30 min", "readings": [FRONT],
    "stop": "Press the stop button.",
}  # fmt: skip
AFTER = {"id": "after", "kind": "action"}


def bench(*steps: Mapping[str, object]) -> Bench:
    b = Bench(procedure(LOG, *steps, AFTER, gauges=[*GAUGES, THERMO]))
    b.start()
    return b


def computed(unit: str, formula: str, what: str, **more: object) -> dict[str, object]:
    return {
        "id": "value", "kind": "derived", "quantity": "value", "unit": unit, "formula": formula,
        "inputs": {"x": f"run_in.{what}"}, **more,
    }  # fmt: skip


def run(b: Bench, *values: str) -> None:
    """Read a row for each value, ten minutes apart; an empty one is missed."""
    b.say("go_on")
    for number, value in enumerate(values):
        if number:
            b.now += timedelta(minutes=10)
            b.feed(TimerElapsed(at=b.at(), step="run_in"))
        if value:
            b.type(f"reading {value}")
            b.say("go_on")


@pytest.mark.uncounted
@pytest.mark.parametrize(
    ("unit", "what", "value"),
    [
        ("degC", "last", 45),
        ("degC", "front bearing.last", 45),
        ("degC", "first", 20),
        ("degC", "highest", 48),
        ("degC", "lowest", 19),
        ("delta_degC", "rise", 25),
        ("delta_degF", "rise", 45),
    ],
)
def test_what_a_formula_takes_of_a_log(unit: str, what: str, value: int) -> None:
    b = bench(computed(unit, "x", what))
    run(b, "twenty", "nineteen", "forty eight", "forty five")
    (found,) = b.of(ValueDerived)
    assert (found.value.value, found.value.unit) == (Fraction(value), unit)
    assert replay(b.context, b.events) == b.state


def test_the_rise_above_a_room_is_judged_at_its_limit_exactly() -> None:
    rise = computed("delta_degC", "x - '20.1 degC'", "last", upper="24.9 delta_degC")
    b = bench(rise)
    run(b, "twenty", "thirty", "forty", "forty five")
    assert b.of(ValueDerived)[0].judgement.verdict == "in"
    b = bench({**rise, "upper": "24.8 delta_degC"})
    run(b, "twenty", "thirty", "forty", "forty five")
    assert isinstance(b.awaiting(), OutOfLimit)


def test_the_rate_is_the_fastest_rise_over_the_time_between_its_two_readings() -> None:
    b = bench(computed("degC/h", "x", "rate", upper="150 degC/h"))
    run(b, "twenty", "thirty", "fifty two", "fifty five")
    read = b.of(ReadingConfirmed)
    first, second = (datetime.fromisoformat(r.read_at) for r in (read[1], read[2]))
    hours = Fraction(int((second - first).total_seconds()), 3600)
    (found,) = b.of(ValueDerived)
    assert found.value.value == 22 / hours
    assert found.judgement.verdict == "in"
    assert found.shown is not None
    assert found.shown.decimals() is not None


def test_a_faster_rate_than_allowed_is_held() -> None:
    b = bench(computed("degC/min", "x", "rate", upper="2 degC/min"))
    run(b, "twenty", "thirty", "fifty two", "fifty five")  # 22 degrees in ten minutes
    assert isinstance(b.awaiting(), OutOfLimit)


def test_its_uncertainty_is_that_of_its_two_readings() -> None:
    """JCGM 100 (GUM), 5.1.2: of two independent readings with U = 0.4 K, U = 0.4 K x sqrt(2)."""
    b = bench(computed("delta_degC", "x", "rise"))
    run(b, "twenty", "thirty", "fifty two", "fifty five")
    (found,) = b.of(ValueDerived)
    assert found.uncertainty is not None
    assert found.uncertainty.value == parse_amount("0.57 delta_degC").value


def test_what_starts_from_a_first_row_that_was_missed_is_not_computed() -> None:
    b = bench(computed("delta_degC", "x", "rise"))
    run(b, "", "", "thirty", "forty")
    assert len(b.of(RowMissed)) == 2
    assert b.awaiting() == Blocked()
    b = bench(computed("degC", "x", "last"))
    run(b, "", "", "thirty", "forty")
    assert b.of(ValueDerived)[0].value.value == 40


def test_a_correction_of_what_came_from_a_log_asks_before_the_log_goes() -> None:
    b = bench(computed("delta_degC", "x", "rise", upper="20 delta_degC"))
    run(b, "twenty", "thirty", "fifty two", "fifty five")
    b.say("correction")
    assert isinstance(b.awaiting(), GoingBack)


@pytest.mark.parametrize(
    ("what", "comparison", "done"),
    [
        ("last", "at least 45 degC", True),
        ("last", "above 45 degC", False),
        ("front bearing.highest", "above 47.9 degC", True),
        ("rise", "at most 25 delta_degC", True),
        ("rise", "below 25 delta_degC", False),
        ("rate", "above 2 degC/min", True),
    ],
)
def test_a_condition_asks_what_a_log_came_to(what: str, comparison: str, done: bool) -> None:
    hot = {"id": "hot", "kind": "action", "when": {"value": {f"run_in.{what}": comparison}}}
    b = bench(hot)
    run(b, "twenty", "nineteen", "forty eight", "forty five")
    assert (b.state.step == "hot") is done


def test_a_condition_on_one_place_of_a_measurement() -> None:
    gap = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "dial",
           "positions": ["front", "rear"]}  # fmt: skip
    wide = {"id": "wide", "kind": "action", "when": {"value": {"gap.rear": "above 3 thou"}}}
    for rear, step in (("four", "wide"), ("three", "after")):
        b = Bench(procedure(gap, wide, AFTER, gauges=[*GAUGES, THERMO]))
        b.start()
        b.type("reading two")
        b.say("go_on")
        b.type(f"reading {rear}")
        b.say("go_on")
        assert b.state.step == step


@pytest.mark.parametrize("right", [True, False])
def test_no_rate_is_computed_over_a_time_that_nobody_knows(right: bool) -> None:
    """The machine was off for hours, and its clock lost them: 20 to 50 degC in ten minutes, or?"""
    b = bench(computed("degC/min", "x", "rate", upper="4 degC/min"))
    b.say("go_on")
    b.type("reading twenty")
    b.say("go_on")
    b.now -= timedelta(hours=2)
    said = b.feed(Resumed(at=b.at(), boot="another run"))
    assert "right" in said
    b.say("confirm" if right else "wrong")
    for value in ("fifty", "fifty one", "fifty two"):
        b.now = datetime.fromisoformat(b.state.waits["run_in"])
        b.feed(TimerElapsed(at=b.at(), step="run_in"))
        b.type(f"reading {value}")
        b.say("go_on")
    rates = [str(v.value) for v in b.of(ValueDerived)]
    if right:
        assert len(rates) == 1
    else:
        assert rates == []
        assert b.awaiting() == Blocked()
    assert replay(b.context, b.events) == b.state
