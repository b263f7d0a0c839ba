"""Shims and checked tools in the build record."""

from __future__ import annotations

from datetime import UTC
from typing import Any

from assistant.dialogue.events import Resumed
from assistant.journal.types import Entry, EntryKind
from assistant.report.html import to_html
from assistant.report.record import build_record
from assistant.report.sheet.front import left
from assistant.report.sheet.page import Page
from assistant.report.sheet.reading_rows import source
from tests.dialogue.kit import GAP, SHIMS, begun
from tests.dialogue.kit import Bench as Dialogue
from tests.dialogue.test_tools_and_shims import BOLTS, tools


def record_of(b: Dialogue) -> list[Entry]:
    """The events and facts of a dialogue as journal entries."""
    bodies: list[tuple[EntryKind, dict[str, Any]]] = [
        ("event", b.events[0].model_dump(mode="json"))
    ]
    bodies += [("fact", f.model_dump(mode="json")) for f in b.facts]
    return [
        Entry(kind, b.events[0].at, body, session="s", seq=n)
        for n, (kind, body) in enumerate(bodies, 1)
    ]


def test_the_shimmed_gap_stands_among_the_readings() -> None:
    b = begun(GAP, SHIMS)
    b.type("reading 13 thou")
    b.say("go_on", "done")
    record = build_record(record_of(b))
    (line,) = [r for r in record.readings if r.step == "shims"]
    assert (str(line.indication), line.status) == ("3.0 thou", "counts")
    assert line.formula == "13 thou less shims 5 thou and 5 thou"
    assert record.unread == []
    assert "less shims" in to_html(record)


def test_a_checked_tool_is_told_with_its_calibration() -> None:
    b = begun(BOLTS, tools=tools("2025-12-31"))
    b.feed(Resumed(at=b.at(), bench=tools("2027-12-31")))
    told = [m.detail for m in build_record(record_of(b)).moments if "checked" in m.what]
    assert len(told) == 2
    assert "ran out" in told[0]
    assert "calibrated until 2027-12-31" in told[1]


def test_page_one_raises_no_alarm_for_a_tool_that_was_refused_and_never_used() -> None:
    b = begun(BOLTS, tools=tools("2025-12-31"))
    b.feed(Resumed(at=b.at(), bench=tools("2027-12-31")))
    b.say("understood", "done", "done", "go_on")
    page = Page(build_record(record_of(b)), UTC)
    (refused,) = [item for item in left(page) if "ran out" in item.text]
    assert refused.text.endswith("It was not used.")
    assert refused.text.count("ran out") == 1
    assert not refused.alarm


def test_a_computed_value_says_of_what_it_was_computed() -> None:
    places = {**GAP, "positions": ["top", "bottom"]}
    spread = {"id": "spread", "kind": "derived", "title": "Spread", "quantity": "spread",
              "unit": "thou", "formula": "g", "inputs": {"g": GAP["id"]}, "combine": "range",
              "upper": "5 thou"}  # fmt: skip
    half = {**spread, "id": "half", "quantity": "half", "formula": "g / 2"}
    b = begun(places, spread, half)
    b.type("reading 13 thou", "reading 14 thou")
    b.say("go_on")
    page = Page(build_record(record_of(b)), UTC)
    told = [source(page, line) for line in page.record.readings if line.formula]
    assert told == ["computed: range of gap", "computed: g / 2; g: range of gap"]
