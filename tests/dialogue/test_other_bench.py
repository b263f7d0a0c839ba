"""The tools change while a step is under way: another bench, or a calibration that runs out.

What was measured stays what it was, by the tool that measured it. What is measured next is measured
by the tool that is there now, which is looked at and named first.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

from assistant.dialogue.events import PictureFound, Resumed
from assistant.dialogue.facts import ToolChecked
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.kinds.measurement.states import DigitCheck, Measuring
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.dialogue.kinds.tightening.facts import FastenerTightened
from assistant.dialogue.kinds.tightening.states import Tightening
from assistant.dialogue.states import Blocked, Doing, OutOfLimit, PictureOwed, Review
from assistant.quantities.tools import Bench as ToolBench
from tests.dialogue.kit import GAP, SHIMS, Bench, begun

DIAL = {"id": "dial", "kind": "dial_indicator", "name": "dial A", "unit": "thou",
        "resolution": "0.1 thou", "lower": "0 thou", "upper": "200 thou",
        "uncertainty": "0.2 thou", "calibration_due": "2027-01-01"}  # fmt: skip
METRIC = {"id": "metric_dial", "kind": "dial_indicator", "name": "metric dial", "unit": "mm",
          "resolution": "0.01 mm", "lower": "0 mm", "upper": "10 mm", "uncertainty": "0.004 mm",
          "calibration_due": "2027-01-01"}  # fmt: skip
BOX = {"id": "shim_set", "kind": "shim_set", "name": "box A", "unit": "thou",
       "resolution": "1 thou", "members": [{"size": "2 thou"}, {"size": "3 thou"},
                                           {"size": "5 thou", "count": 2}]}  # fmt: skip
WRENCH = {"id": "wrench", "kind": "torque_wrench", "name": "wrench number 3", "unit": "lbf*ft",
          "resolution": "1 lbf*ft", "lower": "2 lbf*ft", "upper": "25 lbf*ft",
          "calibration_due": "2026-01-05"}  # fmt: skip
BOLTS = {"id": "bolts", "kind": "tightening", "tool": "wrench", "target": "10 lbf*ft",
         "fasteners": ["bolt one", "bolt two"], "thread": "dry"}  # fmt: skip
TWO = {**GAP, "positions": ["top", "bottom"]}


def tools(*listed: dict[str, Any]) -> ToolBench:
    return ToolBench.model_validate({"tools": list(listed)})


def resumed(b: Bench, *listed: dict[str, Any]) -> str:
    return b.feed(Resumed(at=b.at(), bench=tools(*listed)))


def counted(b: Bench) -> list[tuple[str, str, str]]:
    return [(f.position, str(f.indication), f.tool) for f in b.of(ReadingConfirmed)]


def test_a_reading_taken_back_at_another_bench_is_read_with_the_gauge_that_is_there() -> None:
    b = begun(TWO, tools=tools(DIAL))
    b.type("reading ten thou", "reading twelve thou")
    said = resumed(b, METRIC)
    assert b.awaiting() == Review()
    assert "The dial indicator called for is not on the bench. metric dial would do." in said
    assert "It reads in millimeters" in said
    b.say("correction")
    assert "point three millimeters" in b.type("reading 0.3")
    b.say("go_on")
    # each by the gauge that read it
    assert counted(b) == [("top", "10 thou", "dial"), ("bottom", "0.3 mm", "metric_dial")]
    assert [(t.tool, t.instead_of) for t in b.of(ToolChecked)] == [
        ("dial", ""),
        ("metric_dial", "dial"),
    ]


def test_the_same_gauge_of_another_bench_is_looked_at_and_its_unit_said() -> None:
    b = begun(GAP, tools=tools(DIAL))
    b.type("reading ten thou")
    said = resumed(b, {**METRIC, "id": "dial", "calibration_due": "2026-06-01"})
    assert "It reads in millimeters" in said
    assert [t.calibration_due for t in b.of(ToolChecked)] == ["2027-01-01", "2026-06-01"]


def test_at_the_same_bench_nothing_is_looked_at_again() -> None:
    b = begun(TWO, tools=tools(DIAL))
    b.type("reading ten thou", "reading twelve thou")
    said = resumed(b, DIAL)
    assert "dial A" not in said
    b.say("correction")
    b.type("reading eleven thou")
    b.say("go_on")
    assert len(b.of(ToolChecked)) == 1


def test_a_value_out_of_limits_is_read_again_with_the_gauge_of_the_other_bench() -> None:
    b = begun(GAP, tools=tools(DIAL))
    b.type("reading forty thou")
    assert b.awaiting() == OutOfLimit(0)
    said = resumed(b, METRIC)
    assert "forty thou" in said
    assert "It reads in millimeters" in said
    b.type("reading 0.3")
    b.say("go_on")
    assert counted(b) == [("", "0.3 mm", "metric_dial")]


def test_a_doubtful_reading_is_not_confirmed_as_one_of_another_gauge() -> None:
    b = begun(GAP, tools=tools(DIAL))
    b.type("reading two hundred ninety nine thou")
    assert isinstance(b.awaiting(), DigitCheck)
    resumed(b, {**DIAL, "name": "dial B", "uncertainty": "5 thou"})
    assert b.awaiting() == Measuring(0)
    b = begun(GAP, tools=tools(DIAL))
    b.type("reading two hundred ninety nine thou")
    resumed(b, DIAL)  # the very same one: its digits are still asked for
    assert isinstance(b.awaiting(), DigitCheck)


def test_a_doubtful_reading_of_no_bench_is_not_one_of_the_first_bench_that_has_a_gauge() -> None:
    b = begun(GAP, tools=tools(BOX))
    b.type("reading two hundred ninety nine thou")
    assert isinstance(b.awaiting(), DigitCheck)
    resumed(b, {**DIAL, "id": "own"})
    assert b.awaiting() == Measuring(0)


def test_blades_tried_are_not_put_together_with_those_of_another_set() -> None:
    feelers = {"id": "feelers", "kind": "feeler", "name": "set A", "unit": "thou",
               "resolution": "0.5 thou", "members": [{"size": "2 thou"}, {"size": "4 thou"},
                                                     {"size": "6 thou"}, {"size": "8 thou"}],
               "calibration_due": "2027-01-01"}  # fmt: skip
    gap = {**GAP, "gauge": "feelers", "lower": "3 thou", "upper": "7 thou"}
    b = begun(gap, tools=tools(feelers))
    b.type("blade four goes")
    assert b.awaits(Measuring).evidence
    resumed(b, {**feelers, "name": "set B"})
    assert b.awaiting() == Measuring(0)


def test_a_gauge_that_ran_out_over_night_reads_nothing_more() -> None:
    b = begun(TWO, tools=tools({**DIAL, "calibration_due": "2026-01-05"}))
    b.type("reading ten thou")
    b.now += timedelta(days=1)  # nobody stopped the work
    said = b.type("reading twelve thou")
    assert "Do not use this tool" in said
    assert b.awaiting() == Blocked()


def test_a_gauge_that_took_the_place_of_one_that_ran_out_is_named_before_it_reads() -> None:
    spare = {**METRIC, "id": "spare", "upper": "20 mm"}
    b = begun(GAP, tools=tools({**METRIC, "calibration_due": "2026-01-05"}, spare))
    b.now += timedelta(days=1)
    said = b.type("reading 0.3")
    assert "metric dial would do" in said
    assert b.awaiting() == Measuring(0)
    b.type("reading 0.3")
    b.say("go_on")
    assert counted(b) == [("", "0.3 mm", "spare")]


def test_a_wrench_that_ran_out_over_night_tightens_nothing() -> None:
    b = begun(BOLTS, tools=tools(WRENCH))
    b.now += timedelta(days=1)
    said = b.say("understood")
    assert "Do not use this tool" in said
    assert b.awaiting() == Blocked()


def test_a_wrench_in_the_place_of_one_that_ran_out_is_announced_first() -> None:
    spare = {**WRENCH, "id": "spare", "name": "wrench number 4", "resolution": "0.5 lbf*ft",
             "upper": "30 lbf*ft", "calibration_due": "2027-01-01"}  # fmt: skip
    b = begun({**BOLTS, "target": "10.5 lbf*ft"}, tools=tools({**WRENCH, "id": "mine"}, spare))
    b.now += timedelta(days=1)
    said = b.say("understood")
    assert "ten point five pound feet" in said
    assert "wrench number 4" in said
    b.say("understood")
    assert b.awaiting() == Tightening(0, 0)
    b.say("done")
    assert [str(f.torque) for f in b.of(FastenerTightened)] == ["10.5 lbf*ft"]


def _shims_in() -> Bench:
    """Shims of 5 and 2 thou were announced and fitted; their picture is not taken yet."""
    b = begun(GAP, {**SHIMS, "picture": "the shims"}, tools=tools(DIAL, BOX))
    b.type("reading ten thou")
    said = b.say("go_on")
    assert "Fit these shims: five thou, and two thou." in said
    b.say("done")
    assert b.awaiting() == PictureOwed()
    return b


def _with_picture(b: Bench) -> None:
    b.feed(PictureFound(at=b.at(), step="shims", name="a.jpg", file="0" * 64, media="jpeg",
                        size=10, taken=b.at()))  # fmt: skip
    b.say("go_on")


def test_the_shims_recorded_are_those_that_were_told_and_fitted() -> None:
    b = _shims_in()
    resumed(b, DIAL, {**BOX, "name": "box B", "members": [{"size": "7 thou"}]})
    _with_picture(b)
    (chosen,) = b.of(ShimsChosen)
    assert [str(s) for s in chosen.shims] == ["5 thou", "2 thou"]
    assert str(chosen.result) == "3 thou"


def test_shims_that_are_in_count_although_the_next_box_has_none_that_fit() -> None:
    b = _shims_in()
    resumed(b, DIAL, {**BOX, "name": "box B", "members": [{"size": "100 thou"}]})
    _with_picture(b)
    assert [str(s) for s in b.of(ShimsChosen)[0].shims] == ["5 thou", "2 thou"]


def test_shims_that_are_not_said_to_be_in_are_told_again_from_the_other_box() -> None:
    b = begun(GAP, SHIMS, tools=tools(DIAL, BOX))
    b.type("reading ten thou")
    b.say("go_on")
    said = resumed(b, DIAL, {**BOX, "name": "box B", "members": [{"size": "7 thou"}]})
    assert "Fit these shims: seven thou." in said
    assert b.awaiting() == Doing()
    b.say("done")
    assert [str(s) for s in b.of(ShimsChosen)[0].shims] == ["7 thou"]


def test_sessions_from_before_look_at_no_tool_in_the_middle_of_a_step() -> None:
    b = begun(TWO, tools=tools({**DIAL, "calibration_due": "2026-01-05"}))
    b.state = replace(b.state, edition=2)
    b.type("reading ten thou")
    b.now += timedelta(days=1)
    assert "twelve thou" in b.type("reading twelve thou")
    b = _shims_in()
    b.state = replace(b.state, edition=2)
    resumed(b, DIAL, {**BOX, "name": "box B", "members": [{"size": "7 thou"}]})
    _with_picture(b)
    assert [str(s) for s in b.of(ShimsChosen)[0].shims] == ["7 thou"]
