"""A tool that another took the place of stays in the record: what it measured, it measured."""

from __future__ import annotations

from datetime import UTC, timedelta
from typing import Any

import pytest

from assistant.dialogue.events import Resumed
from assistant.quantities.tools import Bench as ToolBench
from assistant.report.model import BuildRecord
from assistant.report.sheet.front import left
from assistant.report.sheet.joint import asked
from assistant.report.sheet.page import Page
from assistant.report.sheet.reading_rows import source
from tests.dialogue.kit import LAST, PEOPLE, procedure
from tests.report.test_from_dialogue import KeptBench

DIAL = {"id": "dial", "kind": "dial_indicator", "name": "dial A", "unit": "thou",
        "resolution": "0.1 thou", "lower": "0 thou", "upper": "200 thou",
        "uncertainty": "0.2 thou", "calibration_due": "2026-01-05"}  # fmt: skip
WRENCH = {"id": "wrench", "kind": "torque_wrench", "name": "wrench A", "unit": "lbf*ft",
          "resolution": "1 lbf*ft", "lower": "2 lbf*ft", "upper": "25 lbf*ft",
          "calibration_due": "2026-01-05"}  # fmt: skip
LATER = {"name": "another", "calibration_due": "2030-01-01"}
GAP = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "dial",
       "lower": "5 thou", "upper": "30 thou"}  # fmt: skip
BOLTS = {"id": "bolts", "kind": "tightening", "tool": "wrench", "target": "10 lbf*ft",
         "fasteners": ["bolt one", "bolt two"], "thread": "dry",
         "passes": ["0.5", "1"]}  # fmt: skip


def begun(step: dict[str, Any], *tools: dict[str, Any]) -> KeptBench:
    b = KeptBench(procedure(step, LAST))
    b.open(PEOPLE, ToolBench.model_validate({"tools": list(tools)}))
    b.type("charlie")
    b.say("confirm")
    return b


def elsewhere(b: KeptBench, *tools: dict[str, Any]) -> None:
    b.feed(Resumed(at=b.at(), bench=ToolBench.model_validate({"tools": list(tools)})))


def own(record: BuildRecord, gauge: str) -> list[tuple[str, str | None, bool]]:
    return [(t.own_name, t.calibration_due, t.used) for t in record.tools if t.id == gauge]


def test_a_gauge_that_was_read_stays_with_its_calibration_when_another_bench_is_taken() -> None:
    b = begun(GAP, DIAL)
    b.type("reading ten thou")
    b.say("go_on")
    elsewhere(b, {**DIAL, **LATER})
    assert own(b.record(), "dial") == [
        ("dial A", "2026-01-05", True),
        ("another", "2030-01-01", False),
    ]
    # that one was never looked at: it leaves no line
    elsewhere(b, DIAL)
    assert [name for name, _, _ in own(b.record(), "dial")] == ["dial A", "dial A"]


def test_a_reading_confirmed_at_another_bench_was_made_by_the_gauge_before() -> None:
    b = begun({**GAP, "positions": ["top", "bottom"]}, DIAL)
    b.type("reading ten thou")
    elsewhere(b, {**DIAL, **LATER})
    b.type("reading eleven thou")
    b.say("go_on")
    assert own(b.record(), "dial") == [
        ("dial A", "2026-01-05", True),
        ("another", "2030-01-01", True),
    ]


def test_each_pass_names_the_wrench_that_it_was_announced_for() -> None:
    b = begun(BOLTS, WRENCH)
    b.say("understood", "done", "done")
    elsewhere(b, {**WRENCH, **LATER})
    b.say("understood", "done", "done")
    record = b.record()
    (line,) = record.tightenings
    # the second pass was announced with the first wrench, and again with the other
    assert [(p.number, p.wrench, p.calibration_due) for p in line.passes] == [
        (1, "wrench A", "2026-01-05"),
        (2, "wrench A", "2026-01-05"),
        (2, "another", "2030-01-01"),
    ]
    told = asked(Page(record, UTC), line)
    assert "Wrench A, calibrated until 2026-01-05; another, calibrated until 2030-01-01." in told


@pytest.mark.parametrize("places", [["top"], ["top", "bottom"]])
def test_a_gauge_that_comes_to_the_bench_later_did_not_read_what_was_read_before(
    places: list[str],
) -> None:
    b = begun({**GAP, "positions": places}, WRENCH)
    b.type("reading ten thou")
    elsewhere(b, DIAL)
    for _ in places[1:]:
        b.type("reading eleven thou")
    b.say("go_on")
    record = b.record()
    page = Page(record, UTC)
    called_for = b.procedure.gauge("dial").name
    assert [source(page, r) for r in record.readings] == [called_for, "dial A"][: len(places)]
    assert own(record, "dial") == [("", None, True), ("dial A", "2026-01-05", len(places) > 1)]
    assert any("not in the tool list" in i.text for i in left(page))


def test_a_wrench_that_was_calibrated_in_the_break_is_not_out_of_date_behind_it() -> None:
    b = begun(BOLTS, WRENCH)
    b.say("understood", "done")
    b.now += timedelta(days=5)
    elsewhere(b, {**WRENCH, "calibration_due": "2030-01-01"})
    b.say("done", "understood", "done", "done")
    record = b.record()
    (line,) = record.tightenings
    assert [(p.number, p.calibration_due, len(p.tightened)) for p in line.passes] == [
        (1, "2026-01-05", 1),
        (1, "2030-01-01", 1),
        (2, "2030-01-01", 2),
    ]
    assert "OUT OF DATE" not in asked(Page(record, UTC), line)


def test_a_bench_without_the_wrench_leaves_the_one_before_out_of_what_follows() -> None:
    b = begun(BOLTS, WRENCH)
    b.say("understood", "done", "done")
    elsewhere(b, DIAL)
    b.say("understood", "done", "done")
    record = b.record()
    (line,) = record.tightenings
    assert (line.passes[0].wrench, line.passes[0].calibration_due) == ("wrench A", "2026-01-05")
    called_for = b.procedure.gauge("wrench")
    assert (line.passes[-1].wrench, line.passes[-1].calibration_due) == (called_for.name, None)
    assert own(record, "wrench") == [("wrench A", "2026-01-05", True), ("", None, True)]
    last = [t for t in record.tools if t.id == "wrench"][-1]
    assert (last.unit, last.resolution) == (called_for.unit, called_for.resolution)
    (told,) = [i.text for i in left(Page(record, UTC)) if "not in the tool list" in i.text]
    assert called_for.name in told


def test_a_gauge_that_no_tool_list_has_is_of_unknown_calibration() -> None:
    b = begun(GAP, WRENCH)
    b.type("reading ten thou")
    b.say("go_on")
    told = [i.text for i in left(Page(b.record(), UTC)) if i.anchor == "tools"]
    assert told == ["No tool that was used is in a tool list: calibration is not known."]
