"""Computation at the bench: tools checked, shims chosen, settings corrected, blades proposed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from assistant.dialogue.events import Resumed
from assistant.dialogue.facts import ToolChecked
from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.dialogue.kinds.tightening.facts import FastenerTightened, TorqueAnnounced
from assistant.dialogue.kinds.tightening.states import TorqueAcknowledge
from assistant.dialogue.states import Blocked, Doing, Review
from assistant.quantities.habit import Habit
from assistant.quantities.tools import Bench as ToolBench
from tests.dialogue.kit import GAP, GAUGES, LAST, SHIMS, Bench, begun, procedure

BOLTS = {
    "id": "bolts", "kind": "tightening", "tool": "wrench", "target": "10 lbf*ft",
    "tolerance": "1 lbf*ft", "fasteners": ["bolt one", "bolt two"], "thread": "dry",
}  # fmt: skip
RINGS = {
    "id": "ring", "kind": "ring_gauge", "name": "ring gauges", "unit": "mm",
    "resolution": "0.01 mm", "members": ["20 mm", "20.02 mm"],
}  # fmt: skip
SHAFT = {
    "id": "shaft", "kind": "measurement", "quantity": "shaft", "unit": "mm", "gauge": "ring",
    "lower": "20 mm", "upper": "20.02 mm",
}  # fmt: skip


def test_the_fewest_shims_that_centre_the_result_are_told_and_recorded() -> None:
    b = begun(GAP, SHIMS)
    b.type("reading 13 thou")
    said = b.say("go_on")
    # 13 thou less 5 and 5 leaves 3, the middle of 2 to 4; nothing with fewer shims does
    assert "five thou, and five thou" in said
    assert "three thou" in said
    assert b.awaiting() == Doing()
    b.say("done")
    (fact,) = b.of(ShimsChosen)
    assert [str(s) for s in fact.shims] == ["5 thou", "5 thou"]
    assert str(fact.result) == "3 thou"
    assert b.state.step == "last"


def test_a_set_without_fitting_shims_blocks_and_says_so() -> None:
    b = begun(GAP, SHIMS)
    b.type("reading 25 thou")
    said = b.say("go_on")
    assert "No shims fit" in said
    assert b.awaiting() == Blocked()
    b.say("done")
    assert b.of(ShimsChosen) == []


def test_a_value_may_be_derived_from_the_shimmed_result() -> None:
    half = {
        "id": "half", "kind": "derived", "quantity": "half float", "unit": "thou",
        "formula": "f / 2", "inputs": {"f": "shims"}, "upper": "2 thou",
    }  # fmt: skip
    b = begun(GAP, SHIMS, half)
    b.type("reading 13 thou")
    b.say("go_on", "done")
    (value,) = b.of(ValueDerived)
    assert str(value.value) == "1.5 thou"


def test_an_extension_lowers_the_setting_and_the_direction_is_said() -> None:
    # FAA AC 43.13-1B 7-40: reading = torque x L / (L + E); 10 x 12 / (12 + 3) = 8.
    fitted = {"length": "12 in", "extension": "3 in", "angle": "0 deg"}
    b = begun({**BOLTS, "adapter": fitted})
    said = " ".join(b.state.last_said)
    assert "Set the wrench to eight pound feet" in said
    assert (
        "With the adapter at zero degrees, held twelve inches from the square, that is ten" in said
    )
    (announced,) = b.of(TorqueAnnounced)
    assert (str(announced.torque), str(announced.at_fastener)) == ("8 lbf*ft", "10 lbf*ft")


def test_an_adapter_at_a_right_angle_changes_nothing_and_is_not_spoken_of() -> None:
    fitted = {"length": "12 in", "extension": "3 in", "angle": "90 deg"}
    b = begun({**BOLTS, "adapter": fitted})
    said = " ".join(b.state.last_said)
    assert "to ten pound feet" in said
    assert "adapter" not in said


def test_the_drag_of_a_locking_nut_is_added_and_said() -> None:
    b = begun({**BOLTS, "prevailing": "2 lbf*ft"})
    said = " ".join(b.state.last_said)
    assert "to twelve pound feet" in said
    assert (
        "Set the wrench to twelve pound feet, one two. That is ten plus two for nut drag." in said
    )


def test_a_torque_beyond_the_wrench_blocks() -> None:
    b = begun({**BOLTS, "target": "40 lbf*ft"})
    assert b.awaiting() == Blocked()
    assert "range" in " ".join(b.state.last_said)
    assert b.of(TorqueAnnounced) == []


def tools(due: str) -> ToolBench:
    return ToolBench.model_validate(
        {
            "tools": [
                {"id": "wrench", "kind": "torque_wrench", "name": "small torque wrench",
                 "unit": "lbf*ft", "resolution": "0.5 lbf*ft", "lower": "2 lbf*ft",
                 "upper": "25 lbf*ft", "calibration_due": due},
            ]
        }
    )  # fmt: skip


def test_a_wrench_out_of_calibration_stops_the_step_until_it_is_in() -> None:
    b = begun(BOLTS, tools=tools("2025-12-31"))
    assert b.awaiting() == Blocked()
    assert "calibration" in " ".join(b.state.last_said)
    (checked,) = b.of(ToolChecked)
    assert checked.stops
    b.feed(Resumed(at=b.at(), bench=tools("2027-12-31")))
    assert b.awaiting() == TorqueAcknowledge(0)
    assert [c.stops for c in b.of(ToolChecked)] == [True, False]


def test_the_blade_to_try_next_is_named() -> None:
    feel = {**GAP, "id": "feel", "gauge": "feelers", "lower": "1.5 thou", "upper": "3 thou"}
    b = begun(feel)
    said = b.type("blade 2 goes")
    # of the set 1.5, 2, 3, 4: only 3 can still decide "at most three"
    assert "Try blade three thou" in said


def test_a_reading_apart_from_the_others_is_pointed_out() -> None:
    places = {**GAP, "positions": ["top", "right", "bottom", "left"]}
    b = begun(places)
    said = b.type("reading 10 thou", "reading 10.1 thou", "reading 10 thou", "reading 20 thou")
    assert "left stands apart" in said


def test_an_even_set_of_readings_is_not_queried() -> None:
    places = {**GAP, "positions": ["top", "right", "bottom", "left"]}
    b = begun(places)
    said = b.type("reading 10 thou", "reading 11 thou", "reading 12 thou", "reading 11 thou")
    assert "stands apart" not in said


def test_a_reading_one_graduation_off_is_not_queried() -> None:
    places = {**GAP, "positions": ["top", "right", "bottom"]}
    b = begun(places)
    said = b.type("reading 10 thou", "reading 10 thou", "reading 10.1 thou")
    assert "stands apart" not in said


def test_the_margin_is_told_beside_what_the_gauge_is_good_for() -> None:
    b = begun(GAP)
    said = b.type("reading 6 thou")
    assert "By one thou; the gauge is good for point two thou" in said


@pytest.mark.parametrize("command", ["done", "go_on"])
def test_a_blocked_step_cannot_be_talked_past(command: str) -> None:
    b = begun({**BOLTS, "target": "40 lbf*ft"})
    b.say(command)
    assert b.awaiting() == Blocked()


def test_a_derived_value_is_rounded_for_the_ear_but_never_across_a_limit() -> None:
    third = {
        "id": "third", "kind": "derived", "quantity": "third", "unit": "thou",
        "formula": "g / 3", "inputs": {"g": "gap"}, "upper": "4 thou",
    }  # fmt: skip
    b = begun(GAP, third)
    b.type("reading 10 thou")
    said = b.say("go_on")
    assert "three point three three thou" in said
    (value,) = b.of(ValueDerived)
    assert value.value.value == 10 / Fraction(3)
    b = begun({**GAP, "upper": "90 thou"}, {**third, "formula": "g * 100001 / 300000"})
    b.type("reading 12 thou")
    said = b.say("go_on")
    # 4.00004 thou is out of "at most four" and must not be said as four
    assert "four point zero zero zero zero four thou" in said
    assert "Out of limits" in said


def dial(**known: str) -> ToolBench:
    tool = {"id": "dial", "kind": "dial_indicator", "name": "dial", "unit": "thou",
            "resolution": "0.1 thou", "lower": "0 thou", "upper": "200 thou",
            "calibration_due": "2027-12-31", **known}  # fmt: skip
    return ToolBench.model_validate({"tools": [tool]})


@pytest.mark.parametrize(
    ("known", "good_for"),
    [
        ({"uncertainty": "0.4 thou"}, "point four thou"),
        # 2 * sqrt((0.3^2 + 0.05^2) / 3) = 0.3512, rounded up to two figures (GUM 4.3.7, 7.2.6)
        ({"error": "0.3 thou"}, "point three six thou"),
        ({}, "point two thou"),  # the procedure's own
    ],
)
def test_the_uncertainty_comes_from_the_tool_in_hand(known: dict[str, str], good_for: str) -> None:
    b = begun(GAP, tools=dial(**known))
    assert f"the gauge is good for {good_for}" in b.type("reading 8 thou")


def test_blades_are_put_together_where_one_alone_cannot_tell() -> None:
    feel = {**GAP, "id": "feel", "gauge": "feelers", "lower": "1.5 thou", "upper": "5 thou"}
    b = begun(feel)
    said = b.type("blade 4 goes")
    # of 1.5, 2, 3, 4 only two together reach five thou: 2 and 3
    assert "Try blades" in said
    assert "together; report them as blade five thou" in said
    assert "In limits" in b.type("blade 5 does not go")


def test_the_review_names_the_torque_at_the_fastener_not_the_setting() -> None:
    fitted = {"length": "12 in", "extension": "3 in", "angle": "0 deg"}
    b = begun({**BOLTS, "adapter": fitted})
    said = b.say("understood", "done", "done")
    assert "tightened to ten pound feet" in said
    tightened = b.of(FastenerTightened)
    assert {(str(f.torque), str(f.at_fastener)) for f in tightened} == {("8 lbf*ft", "10 lbf*ft")}


def test_the_tool_is_checked_for_what_it_has_to_give_not_for_the_target() -> None:
    # with two pound feet of drag the wrench has to give 26, beyond its 25
    b = begun({**BOLTS, "target": "24 lbf*ft", "prevailing": "2 lbf*ft"})
    assert b.awaiting() == Blocked()


def test_a_turn_by_angle_is_named_at_every_fastener_of_the_last_pass() -> None:
    b = begun({**BOLTS, "angle": "60 deg"})
    said = [b.say("understood"), b.say("done")]
    assert all("then the turn of sixty degrees" in text for text in said)


def test_a_ring_gauge_that_goes_shows_a_smaller_shaft() -> None:
    b = Bench(procedure(SHAFT, LAST, gauges=[*GAUGES, RINGS]))
    b.start()
    said = b.type("20.02 goes")
    assert "at most twenty point zero two millimeters" in said
    said = b.type("20 does not go")
    assert "In limits" in said
    value = b.state.values["shaft"][""]
    assert value.indication.bounds("mm") == (Fraction(20), Fraction("20.02"))


@pytest.mark.parametrize(
    ("habit", "told"),
    [("metric", "That is about point two zero three two millimeters"), ("inch", ""),
     (None, "")],
)  # fmt: skip
def test_a_length_is_told_once_more_in_the_builders_habit(habit: Habit | None, told: str) -> None:
    b = Bench(procedure(GAP, LAST))
    b.open(habit=habit)
    b.type("charlie")
    b.say("confirm")
    said = b.type("reading 8 thou")  # 0.2032 mm
    assert told in said
    assert ("That is about" in said) == bool(told)


def test_the_chance_is_told_where_the_gauge_could_err_across_the_limit() -> None:
    b = begun(GAP)
    # u = 0.1 thou, 0.1 thou inside the limit: one standard deviation, 84 % (normal table)
    assert "The chance that it is in limits is 84 percent" in b.type("reading 5.1 thou")
    b.say("correction")
    assert "chance" not in b.type("reading 8 thou")


def test_a_tool_missing_from_the_bench_is_replaced_by_one_that_would_do() -> None:
    other = tools("2027-12-31").tools[0].model_copy(update={"id": "blue", "name": "blue wrench"})
    b = begun(BOLTS, tools=ToolBench(tools=(other,)))
    assert "small torque wrench called for is not on the bench. blue wrench would do" in " ".join(
        b.state.last_said
    )
    b = begun(BOLTS, tools=dial())
    assert "called for is not on the bench" in " ".join(b.state.last_said)


def test_a_shaft_that_just_goes_may_still_have_the_rings_very_size() -> None:
    b = Bench(procedure(SHAFT, LAST, gauges=[*GAUGES, RINGS]))
    b.start()
    # at most 20: it could be exactly 20, which is in; nothing is decided
    assert "does not decide it yet" in b.type("20 goes")


def test_printed_and_spoken_settings_are_in_the_wrenchs_unit_however_its_marks_are_written() -> (
    None
):
    from assistant.procedure.describe import describe

    inches = {"id": "odd", "kind": "torque_wrench", "name": "odd wrench", "unit": "lbf*ft",
              "resolution": "6 lbf*in"}  # fmt: skip
    p = procedure(
        {**BOLTS, "tool": "odd", "prevailing": "1 lbf*ft"}, LAST, gauges=[*GAUGES, inches]
    )
    b = Bench(p)
    b.start()
    (announced,) = b.of(TorqueAnnounced)
    assert str(announced.torque) == "11 lbf*ft"
    assert "11 lbf*ft" in describe(p)


@pytest.mark.parametrize(
    ("resolution", "set_as", "gets"),
    [
        # 13 lbf*ft with an arm of 15 in for 12 in: the setting is 10.4, on a mark; what the bolt
        # gets is given to a tenth of a mark, and no finer
        ("1 lbf*ft", "10 lbf*ft", "12.5 lbf*ft"),
        ("0.1 lbf*ft", "10.4 lbf*ft", "13 lbf*ft"),
        ("10 lbf*ft", "10 lbf*ft", "12 lbf*ft"),
    ],
)
def test_what_the_fastener_gets_is_told_to_a_tenth_of_a_mark(
    resolution: str, set_as: str, gets: str
) -> None:
    arm = {"length": "12 in", "extension": "3 in", "angle": "0 deg"}
    bolts = {**BOLTS, "adapter": arm, "target": "13 lbf*ft", "tolerance": "2 lbf*ft"}
    wrench = next({**g, "resolution": resolution} for g in GAUGES if g["id"] == "wrench")
    b = Bench(procedure(bolts, LAST, gauges=[wrench]))
    b.start()
    b.say("understood", "done", "done")
    at = b.awaiting()
    assert isinstance(at, Review)
    assert (str(at.torque), str(at.at_fastener)) == (set_as, gets)
