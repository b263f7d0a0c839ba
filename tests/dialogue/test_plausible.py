"""Where a value becomes hard to believe, to the last graduation on either side of the edge.

A slipped decimal point is the commonest way for a wrong value to be spoken (common practice, no
source); what lies beyond the gauge or far beyond the limits must be said digit by digit.
"""

from __future__ import annotations

import pytest

from assistant.dialogue.context import Context
from assistant.dialogue.kinds.measurement.implausible import implausible
from assistant.dialogue.kinds.measurement.spoken import number_spec
from assistant.dialogue.kinds.measurement.states import DigitCheck
from assistant.dialogue.state import State
from assistant.language import Language
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.quantities.amount import Indication, parse_amount
from tests.dialogue.kit import Bench, procedure

GAUGE = {"id": "dial", "kind": "dial_indicator", "name": "dial indicator", "unit": "thou",
         "resolution": "0.1 thou", "lower": "5 thou", "upper": "200 thou"}  # fmt: skip
OPEN = {"plausible_low": "0 thou", "plausible_high": "9000 thou"}


def asked_why(line: str, gauge: dict[str, str], **limits: str) -> str:
    """Why the digits of ``line`` are asked for; empty when they are not."""
    step = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou",
            "gauge": "dial", **limits}  # fmt: skip
    bench = Bench(procedure(step, {"id": "last", "kind": "action"}, gauges=[{**GAUGE, **gauge}]))
    bench.start()
    bench.type(line)
    moment = bench.awaiting()
    return moment.why if isinstance(moment, DigitCheck) else ""


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("reading 200 thou", ""),
        ("reading 200.1 thou", "gauge_range"),
        ("reading 2000 thou", "gauge_range"),
        ("reading 5 thou", ""),
        ("reading 4.9 thou", "gauge_range"),
        ("reading 0.5 thou", "gauge_range"),
    ],
)
def test_the_range_of_the_gauge_ends_where_it_says(line: str, why: str) -> None:
    assert asked_why(line, {}, lower="10 thou", upper="150 thou", **OPEN) == why


@pytest.mark.parametrize(
    ("limits", "line", "why"),
    [
        ({"lower": "1 thou", "upper": "4 thou"}, "reading 40 thou", ""),
        ({"lower": "1 thou", "upper": "4 thou"}, "reading 40.1 thou", "implausible"),
        ({"upper": "4 thou"}, "reading 40 thou", ""),
        ({"upper": "4 thou"}, "reading 40.1 thou", "implausible"),
        ({"lower": "4 thou"}, "reading 40 thou", ""),
        ({"lower": "4 thou"}, "reading 40.1 thou", "implausible"),
    ],
)
def test_without_a_band_ten_times_the_wider_limit_is_the_edge(
    limits: dict[str, str], line: str, why: str
) -> None:
    assert asked_why(line, {"lower": "0 thou"}, **limits) == why


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("reading 2 thou", ""),
        ("reading 1.9 thou", "implausible"),
        ("reading 6 thou", ""),
        ("reading 6.1 thou", "implausible"),
    ],
)
def test_a_band_that_is_given_ends_where_it_says(line: str, why: str) -> None:
    band = {"plausible_low": "2 thou", "plausible_high": "6 thou"}
    given = {"lower": "3 thou", "upper": "4 thou", **band}
    assert asked_why(line, {"lower": "0 thou"}, **given) == why


def test_the_recogniser_listens_up_to_the_same_edge() -> None:
    step = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou",
            "gauge": "dial", "lower": "1 thou", "upper": "4 thou"}  # fmt: skip
    made = procedure(step, gauges=[GAUGE])
    found = made.step("gap")
    assert isinstance(found, MeasurementStep)
    context = Context(made, Language.load("en-US"))
    assert number_spec(context, State(), found).high == 40


def test_where_no_limit_and_no_band_is_given_the_gauge_alone_decides() -> None:
    assert asked_why("reading 200 thou", {}) == ""
    assert asked_why("reading 200.1 thou", {}) == "gauge_range"


def test_without_a_band_nothing_is_below_zero_where_the_limits_are_not() -> None:
    # a limit of half a thou: so is a value of minus half a thou a slip
    step = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou",
            "gauge": "dial", "lower": "0.5 thou", "upper": "4 thou"}  # fmt: skip
    made = procedure(step)
    read = made.step("gap")
    assert isinstance(read, MeasurementStep)
    assert implausible(made, read, Indication("eq", parse_amount("-0.5 thou"))) == "implausible"
    assert implausible(made, read, Indication("eq", parse_amount("0.1 thou"))) == ""
