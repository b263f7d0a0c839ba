"""Computed values: said no coarser than their readings, digit by digit on demand, exact inside."""

from __future__ import annotations

import json
from collections.abc import Mapping
from fractions import Fraction

import pytest

from assistant.cli.screen import describe
from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.report.export import to_csv, to_json
from assistant.report.html import to_html
from tests.dialogue.kit import GAUGES, LAST, Bench, procedure
from tests.report.test_from_dialogue import KeptBench

HEAT = {"id": "heat", "kind": "measurement", "quantity": "heat", "unit": "degC",
        "gauge": "thermometer", "plausible_low": "-20 degC",
        "plausible_high": "90 degC"}  # fmt: skip
COLD = {**HEAT, "id": "cold"}
SIZE = {"id": "size", "kind": "measurement", "quantity": "size", "unit": "mm", "gauge": "fine",
        "lower": "39 mm", "upper": "41 mm", "plausible_low": "1 mm",
        "plausible_high": "99 mm"}  # fmt: skip
FINE = {"id": "fine", "kind": "micrometer", "name": "fine micrometer", "unit": "mm",
        "resolution": "0.001 mm", "uncertainty": "0.002 mm"}  # fmt: skip
THERMOMETER = {"id": "thermometer", "kind": "thermometer", "name": "thermometer", "unit": "degC",
               "resolution": "0.1 degC", "uncertainty": "1 degC"}  # fmt: skip
GAP = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "dial",
       "lower": "1 thou", "upper": "30 thou"}  # fmt: skip
SET = {"id": "shim_set", "kind": "shim_set", "name": "shim set", "unit": "thou",
       "resolution": "1 thou", "members": ["2 thou", "5 thou", "5 thou"]}  # fmt: skip


def bench(*steps: Mapping[str, object]) -> KeptBench:
    b = KeptBench(procedure(*steps, LAST, gauges=[*GAUGES, FINE, THERMOMETER, SET]))
    b.start()
    return b


def test_a_size_at_20_degrees_is_a_decimal_in_both_systems_and_exact_inside() -> None:
    at_20 = {"id": "at_20", "kind": "derived", "quantity": "size at twenty", "unit": "mm",
             "formula": "at_20(size, heat, 23)", "inputs": {"size": "size", "heat": "heat"},
             "lower": "39.99 mm", "upper": "40.015 mm"}  # fmt: skip
    b = bench(SIZE, HEAT, at_20)
    b.type("reading 40.021 mm")
    b.say("go_on")
    b.type("reading 34.2")
    said = b.say("go_on")
    exact = Fraction("40.021") / (1 + Fraction("23e-6") * Fraction("14.2"))
    (value,) = b.of(ValueDerived)
    assert value.value.value == exact
    assert str(value.shown) == "40.0079 mm"
    assert "forty point zero zero seven nine millimeters" in said
    assert b.state.step == "last"  # in limits, it needs no word of the builder
    assert "four zero point zero zero seven nine" in b.say("digits")
    record = b.record()
    line = next(r for r in record.readings if r.formula)
    assert str(line.indication) == "40.0079 mm"
    assert Fraction(line.exact) == exact
    stored = next(r for r in json.loads(to_json(record))["readings"] if r["formula"])
    number = stored["indication"]["amount"]
    assert number["number"] == "40.0079"
    inches = Fraction(number["converted"]["number"])
    assert number["converted"]["unit"] == "in"
    # a thousandth of an inch would be 0.0254 mm off; this is within a tenth of a micrometre
    assert abs(inches * Fraction("25.4") - exact) < Fraction(1, 10_000)
    for text in (to_csv(record), to_html(record), describe(value)):
        plain = text.replace(f"exactly {line.exact}", "").replace(line.exact, "")
        assert str(exact) not in plain
        assert "40.0079" in plain


def test_a_small_result_is_not_rounded_to_the_digits_of_its_limits() -> None:
    off = {"id": "off", "kind": "derived", "quantity": "off", "unit": "mm",
           "formula": "half(size - '40.1 mm')", "inputs": {"size": "size"},
           "lower": "-1 mm", "upper": "1 mm"}  # fmt: skip
    b = bench(SIZE, off)
    b.type("reading 39.473 mm")
    said = b.say("go_on")
    assert "minus point three one three five millimeters" in said


@pytest.mark.parametrize("reading", ["10.1", "10.2", "19.9", "29.7"])
def test_what_is_said_is_never_coarser_than_the_reading(reading: str) -> None:
    third = {"id": "third", "kind": "derived", "quantity": "third", "unit": "mm",
             "formula": "g / 3", "inputs": {"g": "gap"}, "upper": "9 mm"}  # fmt: skip
    b = bench(GAP, third)
    b.type(f"reading {reading} thou")
    b.say("go_on")
    (value,) = b.of(ValueDerived)
    assert value.shown is not None
    assert abs(value.shown.value - value.value.value) <= Fraction("0.00254") / 2  # 0.1 thou in mm
    assert "/" not in str(value.shown)


def test_the_digits_of_what_the_shims_leave_can_be_asked_for() -> None:
    shims = {"id": "shims", "kind": "shims", "quantity": "end float", "unit": "thou",
             "gap": "gap", "stock": "shim_set", "lower": "2 thou", "upper": "4 thou"}  # fmt: skip
    b = bench({**GAP, "positions": ["top", "left", "right"]}, shims)
    b.type("reading 13 thou", "reading 13 thou", "reading 13.1 thou")
    said = b.say("go_on")
    assert "three point zero three thou" in said
    assert b.say("digits") == "end float: three point zero three thou: three point zero three."
    b.say("done")
    (fact,) = b.of(ShimsChosen)
    assert fact.result.value == Fraction(91, 30)
    assert str(fact.shown) == "3.03 thou"
    assert "/" not in to_csv(b.record()).split("end float")[1].split("\r\n")[0].split(",91")[0]


def test_the_digits_of_a_reading_are_still_those_of_the_reading() -> None:
    b = bench({**GAP, "positions": ["top", "left"]})
    b.type("reading 13 thou", "reading 13.4 thou")
    assert "one three point four" in b.say("digits")


RISE = {"id": "rise", "kind": "derived", "quantity": "rise in temperature", "unit": "delta_degC",
        "formula": "hot - cold", "inputs": {"hot": "heat", "cold": "cold"},
        "upper": "60 delta_degC"}  # fmt: skip


def test_a_difference_of_temperatures_is_one_in_every_unit() -> None:
    b = bench(HEAT, COLD, RISE)
    b.type("reading 70")
    b.say("go_on")
    b.type("reading 20.5")
    said = b.say("go_on")
    assert "forty nine point five celsius degrees" in said
    b.say("go_on")
    (value,) = b.of(ValueDerived)
    assert str(value.uncertainty) == "1.5 delta_degC"  # sqrt(2), rounded up
    stored = json.loads(to_json(b.record()))
    (line,) = [r for r in stored["readings"] if r["formula"]]
    assert line["indication"]["amount"]["converted"] == {"number": "89.1", "unit": "delta_degF"}
    # 10.5 delta_degC inside; 10.5 x 1.8 (NIST SP 811 B.8.4: 1 degC of difference is 1.8 degF)
    assert line["judgement"]["margin"]["converted"] == {"number": "18.9", "unit": "delta_degF"}


def test_margin_resolution_and_uncertainty_of_a_thermometer_are_exported_as_differences() -> None:
    warm = {**HEAT, "lower": "10 degC", "upper": "40 degC"}
    b = bench(warm)
    b.type("reading 38")
    b.say("go_on")
    stored = json.loads(to_json(b.record()))
    (line,) = stored["readings"]
    assert line["indication"]["amount"]["converted"]["number"].startswith("100.4")
    assert line["judgement"]["margin"] == {
        "number": "2", "unit": "delta_degC", "converted": {"number": "3.6", "unit": "delta_degF"},
    }  # fmt: skip
    tool = next(t for t in stored["tools"] if t["id"] == "thermometer")
    assert tool["resolution"]["converted"] == {"number": "0.18", "unit": "delta_degF"}
    assert tool["uncertainty"]["converted"] == {"number": "1.8", "unit": "delta_degF"}
    assert line["uncertainty"]["unit"] == "delta_degC"


def test_a_fahrenheit_graduation_on_a_celsius_scale_is_a_difference() -> None:
    odd = {**THERMOMETER, "resolution": "1.8 degF"}
    b = Bench(procedure({**HEAT, "upper": "80 degC"}, LAST, gauges=[*GAUGES, odd]))
    b.start()
    # on a mark every 1 degC, 38 is a reading and 38.5 finer than the scale
    assert "thirty eight Celsius" in b.type("reading 38")


TWICE = {"id": "twice", "kind": "derived", "quantity": "twice the gap", "unit": "thou",
         "formula": "2 * gap", "inputs": {"gap": "gap"}, "lower": "1 thou",
         "upper": "20 thou"}  # fmt: skip


def test_going_back_goes_over_a_value_that_went_on_by_itself() -> None:
    b = bench(GAP, TWICE, {**TWICE, "id": "again"})
    b.type("reading 4 thou")
    b.say("go_on")
    assert b.state.step == "last"
    assert b.say("correction").endswith("say go back.")
    assert "Going back to gap" in b.say("go_back")
    b.say("confirm")
    assert b.state.step == "gap"
    b.type("reading 5 thou")
    b.say("go_on")
    standing = [r for r in b.record().readings if r.status == "counts"]
    assert [str(r.indication.amount.value) for r in standing] == ["5", "10", "10"]


def test_going_back_stops_at_a_value_that_was_let_stand() -> None:
    b = bench(GAP, TWICE)
    b.type("reading 14 thou")
    b.say("go_on", "disposition_use_as_is")
    b.type("allowed", "inspector mike quebec")
    b.say("accept", "go_on")
    assert b.state.step == "last"
    assert "Going back to twice" in b.say("go_back")


def test_a_computed_value_that_is_skipped_counts_in_the_record_no_longer() -> None:
    b = bench(GAP, TWICE)
    b.type("reading 14 thou")
    b.say("go_on", "disposition_use_as_is")
    b.type("allowed", "inspector mike quebec")
    b.say("accept", "skip", "skip_not_fitted")
    assert b.state.step == "last"
    record = b.record()
    assert [(str(r.indication), r.status, r.superseded_why) for r in record.readings] == [
        ("14 thou", "counts", ""),
        ("28.0 thou", "superseded", "skipped"),
    ]
    assert [d.state for d in record.dispositions] == ["withdrawn"]
