"""Values place by place: grids, one named place, and computed values judged each on its own.

The main bearings of the invented rig stand for those of the trade: clearance of each is bore less
journal, measured two ways; out of round is the difference of the two ways at one bearing.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from assistant.board.build import build_view
from assistant.board.view import Snapshot
from assistant.board.words import load_words
from assistant.dialogue.expectation import listening
from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.states import OutOfLimit, Review
from tests.dialogue.kit import GAUGES, LAST, Bench, procedure
from tests.report.test_from_dialogue import KeptBench

FINE = {"id": "fine", "kind": "micrometer", "name": "fine micrometer", "unit": "mm",
        "resolution": "0.001 mm", "uncertainty": "0.002 mm"}  # fmt: skip


def sizes(name: str, **more: object) -> dict[str, Any]:
    return {"id": name, "kind": "measurement", "quantity": name, "unit": "mm", "gauge": "fine",
            "plausible_low": "39 mm", "plausible_high": "41 mm", "lower": "39 mm",
            "upper": "41 mm", **more}  # fmt: skip


def value(name: str, formula: str, inputs: dict[str, str], **more: object) -> dict[str, Any]:
    return {"id": name, "kind": "derived", "quantity": name, "unit": "mm", "formula": formula,
            "inputs": inputs, **more}  # fmt: skip


THREE = "one to three"
BORES = sizes("bores", positions=THREE)
JOURNALS = sizes("journals", positions=THREE)
CLEARANCE = value("clearance", "bore - journal", {"bore": "bores", "journal": "journals"},
                  each="position", lower="0.030 mm", upper="0.060 mm")  # fmt: skip
MAINS = sizes("mains", grid={"main": "one to two", "way": ["upright", "across"]})


def bench(*steps: dict[str, Any]) -> KeptBench:
    b = KeptBench(procedure(*steps, LAST, gauges=[*GAUGES, FINE]))
    b.start()
    return b


def read(b: Bench, *values: str) -> str:
    b.type(*(f"reading {v}" for v in values))
    return b.say("go_on")


@pytest.mark.uncounted
def test_one_bearing_out_of_limits_never_passes_on_the_mean_of_all() -> None:
    b = bench(BORES, JOURNALS, CLEARANCE)
    read(b, "40.040", "40.040", "40.040")
    said = read(b, "40.000", "40.000", "40.015")
    found = {f.position: (str(f.shown), f.judgement.verdict) for f in b.of(ValueDerived)}
    assert found == {"one": ("0.040 mm", "in"), "two": ("0.040 mm", "in"),
                     "three": ("0.025 mm", "out")}  # fmt: skip
    assert "clearance, three: point zero two five millimeters. Out of limits." in said
    assert b.awaiting() == OutOfLimit(2)
    assert "skip" not in b.expected()
    b.say("go_on")
    assert b.awaiting() == OutOfLimit(2)


def test_each_place_out_of_limits_wants_a_release_of_its_own() -> None:
    b = bench(BORES, JOURNALS, CLEARANCE)
    read(b, "40.040", "40.010", "40.040")
    told = read(b, "40.000", "40.000", "40.015")
    for index, place, value in ((1, "two", "one"), (2, "three", "two five")):
        assert b.awaiting() == OutOfLimit(index)
        # the last thing said before the question is which of them it is about
        last = f"clearance, {place}: point zero {value} millimeters. Out of limits."
        assert last in told[told.rindex("clearance,") :]
        b.say("disposition_use_as_is")
        b.type("within wear allowance", "inspector mike quebec")
        told = b.say("accept")
    assert b.awaiting() == Review()
    assert b.state.released["clearance"] == ("two", "three")
    b.say("go_on")
    assert b.state.outcomes["clearance"] == "done"


def test_measured_again_the_value_of_each_place_is_computed_again() -> None:
    b = bench(BORES, JOURNALS, CLEARANCE)
    read(b, "40.040", "40.040", "40.040")
    read(b, "40.000", "40.000", "40.015")
    b.say("remeasure", "confirm")
    assert b.state.step == "bores"
    assert b.state.derived_at == {}
    read(b, "40.040", "40.040", "40.050")
    read(b, "40.000", "40.000", "40.015")
    assert b.state.step == "last"
    assert b.state.held["clearance"] == {}
    lines = [r for r in b.record().readings if r.formula]
    assert [(r.position, r.status) for r in lines if r.status == "counts"] == [
        ("one", "counts"), ("two", "counts"), ("three", "counts")]  # fmt: skip


def test_a_grid_is_measured_spoken_read_back_and_recorded_by_both_names() -> None:
    b = bench(MAINS)
    phrases = dict(listening(b.context, b.state).spec.phrases)
    assert list(phrases) == ["main one upright", "main one across", "main two upright",
                             "main two across"]  # fmt: skip
    assert "Position main one across." in b.type("reading 40.001")
    assert "main one across: forty point zero zero two" in b.type("reading 40.002")
    b.type("reading 40.003", "reading 40.004")
    b.type("main two upright", "reading 40.010")
    b.say("go_on")
    kept = {f.position: str(f.indication.amount) for f in b.of(ReadingConfirmed)}
    assert kept == {"main one upright": "40.001 mm", "main one across": "40.002 mm",
                    "main two upright": "40.010 mm", "main two across": "40.004 mm"}  # fmt: skip


def test_one_list_of_a_grid_is_gone_along_and_the_other_combined() -> None:
    rounds = value("out_of_round", "size", {"size": "mains"}, each="main", combine="range",
                   upper="0.005 mm")  # fmt: skip
    b = bench(MAINS, rounds)
    read(b, "40.001", "40.004", "40.001", "40.008")
    found = {f.position: str(f.shown) for f in b.of(ValueDerived)}
    assert found == {"main one": "0.003 mm", "main two": "0.007 mm"}
    assert b.awaiting() == OutOfLimit(1)


def test_names_pick_places_and_the_difference_between_two_of_them() -> None:
    off = value("off", "abs(top - side)", {"top": "mains.one.upright", "side": "mains.one.across"},
                upper="0.005 mm")  # fmt: skip
    ways = value("ways", "top - side", {"top": "mains.upright", "side": "mains.across"},
                 each="position", lower="-0.01 mm", upper="0.01 mm")  # fmt: skip
    b = bench(MAINS, off, ways)
    read(b, "40.001", "40.004", "40.001", "40.008")
    one = b.of(ValueDerived)[0]
    assert (one.value.value, one.value.unit) == (Fraction("0.003"), "mm")
    found = {f.position: str(f.shown) for f in b.of(ValueDerived) if f.step == "ways"}
    assert found == {"main one": "-0.003 mm", "main two": "-0.007 mm"}


def test_one_value_is_the_same_for_every_place_and_a_later_step_may_take_the_least() -> None:
    zero = sizes("zero")
    over = value("over", "bore - zero", {"bore": "bores", "zero": "zero"}, each="position",
                 upper="1 mm")  # fmt: skip
    least = value("least", "over - '0.001 mm'", {"over": "over"}, combine="min", lower="0 mm")
    b = bench(BORES, zero, over, least)
    read(b, "40.010", "40.020", "40.030")
    read(b, "40.000")
    b.say("go_on")
    assert b.of(ValueDerived)[-1].value.value == Fraction("0.009")


def test_the_uncertainty_of_a_difference_is_that_of_two_readings_of_one_gauge() -> None:
    """GUM 5.1.2: two readings of U = 2 um each give sqrt(2) x 2 um, rounded up to 2.9 um."""
    b = bench(BORES, JOURNALS, {**CLEARANCE, "rule": "guarded"})
    read(b, "40.040", "40.040", "40.040")
    read(b, "40.000", "40.000", "40.008")
    found = {f.position: f for f in b.of(ValueDerived)}
    assert str(found["one"].uncertainty) == "0.0029 mm"
    # 0.032 mm is within 0.0029 mm of its limit of 0.030 mm: not to be called
    assert found["three"].judgement.verdict == "undecided"
    assert b.awaiting() == OutOfLimit(2)


def test_a_combined_reading_of_one_place_is_the_reading_itself() -> None:
    """A range of one reading is not a zero that passes every limit."""
    b = bench(BORES, value("off", "size", {"size": "bores.two"}, combine="range", upper="1 mm"))
    read(b, "40.010", "40.020", "40.030")
    assert b.of(ValueDerived)[-1].value.value == Fraction("40.020")


def test_the_board_shows_the_value_of_each_place_with_its_verdict() -> None:
    b = bench(BORES, JOURNALS, CLEARANCE)
    read(b, "40.040", "40.040", "40.040")
    read(b, "40.000", "40.000", "40.015")
    view = build_view(b.context, Snapshot(b.state), load_words("en-US"))
    assert [(r.position, r.text, r.mark, r.current) for r in view.rows] == [
        ("one", "0.040 mm", "in", False), ("two", "0.040 mm", "in", False),
        ("three", "0.025 mm", "out", True)]  # fmt: skip
    assert view.figure is not None
    assert (view.figure.label, view.figure.text) == ("three", "0.025")


def test_digits_of_a_place_are_said_with_its_name() -> None:
    b = bench(BORES, JOURNALS, CLEARANCE)
    read(b, "40.040", "40.040", "40.040")
    read(b, "40.000", "40.000", "40.015")
    assert "clearance, three" in b.say("digits")


@pytest.mark.parametrize("command", ["correction", "wrong", "remeasure"])
def test_a_computed_value_under_review_is_measured_again_at_what_it_comes_from(
    command: str,
) -> None:
    half = value("half", "b / 2", {"b": "bore"}, lower="19 mm", upper="21 mm")
    b = KeptBench(procedure(sizes("bore"), half, LAST, gauges=[*GAUGES, FINE]), talk=None)
    b.start()
    read(b, "40.000")
    assert b.awaiting() == Review()
    b.say(command)
    assert b.state.step == "bore"


def test_a_place_out_of_limits_has_its_own_digits() -> None:
    b = bench(BORES, JOURNALS, CLEARANCE)
    read(b, "40.040", "40.040", "40.040")
    read(b, "40.000", "40.020", "40.000")
    assert isinstance(b.awaiting(), OutOfLimit)
    said = b.say("digits")
    assert said == "clearance, two: point zero two millimeters: zero point zero two."


def test_a_place_that_is_a_number_is_never_heard_as_part_of_its_value() -> None:
    b = bench(BORES, JOURNALS, CLEARANCE, {"id": "wipe", "kind": "action"})
    read(b, "40.040", "40.040", "40.040")
    said = b.say("correction")  # nothing is read here yet: the one before is named
    assert said.startswith("three: forty point zero four zero millimeters is recorded at bores.")
    b.say("fewer_words", "fewer_words")
    said = read(b, "40.000", "40.000", "40.000")
    assert "clearance, two: point zero four millimeters in limits." in said
    assert b.state.step == "wipe"


@pytest.mark.parametrize(
    ("places", "count", "last"), [("three to nine", 7, "nine"), ("twelve to twenty", 9, "twenty")]
)
def test_in_few_words_too(places: str, count: int, last: str) -> None:
    gap = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "dial",
           "lower": "0 thou", "upper": "30 thou", "positions": places}  # fmt: skip
    b = Bench(procedure(gap, LAST), talk="brief")
    b.start()
    assert f"{last}: five thou in limits" in b.type(*["reading 5 thou"] * count)


@pytest.mark.parametrize("place", ["M8", "stud 12", "Twelve", "side (two)", "bore twenty-five"])
def test_a_place_that_ends_in_a_number_has_a_pause_however_it_is_written(place: str) -> None:
    gap = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "dial",
           "lower": "0 thou", "upper": "30 thou", "positions": ["rim", place]}  # fmt: skip
    b = Bench(procedure(gap, LAST), talk="brief")
    b.start()
    assert f"{place}: five thou in limits" in b.type("reading 5 thou", "reading 5 thou")


def test_in_few_words_a_place_with_a_name_has_no_pause() -> None:
    b = Bench(procedure(sizes("bores", positions=["front", "back"]), LAST,
                        gauges=[*GAUGES, FINE]), talk="brief")  # fmt: skip
    b.start()
    said = b.type("reading 40.000")
    assert said.startswith("front forty point zero zero zero millimeters in limits")
