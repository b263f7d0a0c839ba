"""Page one names rows missed or read late, and work too slow; what was not done is not there."""

from __future__ import annotations

from datetime import UTC, timedelta
from typing import Any

from assistant.dialogue.events import Resumed, TimerElapsed
from assistant.report.html import to_html
from tests.dialogue.kit import GAUGES, LAST, procedure
from tests.dialogue.test_evidence import HOSES, RING
from tests.dialogue.test_log import FRONT, THERMO
from tests.report.test_from_dialogue import KeptBench


def bench(step: dict[str, Any]) -> KeptBench:
    """A session at a step with one more behind it."""
    b = KeptBench(procedure(step, LAST, gauges=[*GAUGES, THERMO]))
    b.start()
    return b


def page(b: KeptBench) -> str:
    """The record as a page."""
    return to_html(b.record(), zone=UTC)


def logged(*minutes: float) -> KeptBench:
    """A log of a row every ten minutes, each read so long after the row before it."""
    b = bench({"id": "run_in", "kind": "log", "every": "10 min", "for": "20 min",
               "readings": [FRONT]})  # fmt: skip
    b.say("go_on")
    for wait in minutes:
        b.now += timedelta(minutes=wait)
        b.feed(TimerElapsed(at=b.at(), step="run_in"))
        b.type("reading fifty")
        b.say("go_on")
    return b


def test_rows_missed_and_read_late_are_on_page_one() -> None:
    told = "Step 1, run in: 1 row missed, 1 value read late"
    b = logged(0, 25)
    assert told in page(b)


def test_a_log_read_in_time_says_nothing() -> None:
    made = page(logged(0, 10, 10))
    assert "missed," not in made
    assert "read late" not in made
    assert "row missed" not in made


def test_work_that_took_too_long_is_on_page_one() -> None:
    b = bench(RING)
    b.say("go_on")
    b.now += timedelta(seconds=100)
    b.say("done")
    assert "Step 1, ring: over by 11 s" in page(b)


def test_work_whose_time_was_lost_is_on_page_one() -> None:
    b = bench(RING)
    b.say("go_on", "stop_work", "confirm")
    b.feed(Resumed(at=b.at(), elapsed_ms=5, boot="run 2"))
    b.say("wrong", "done")
    made = page(b)
    assert "Step 1, ring: how long it took is not known" in made
    assert "NOT KNOWN" in made


def test_work_done_in_time_says_nothing() -> None:
    b = bench(RING)
    b.say("go_on", "done")
    assert "over by" not in page(b)


def test_a_part_that_was_not_done_after_all_does_not_count() -> None:
    b = bench(HOSES)
    b.say("done", "done", "wrong", "skip", "skip_part_missing")
    counting = [p.name for p in b.record().parts_done if p.superseded_at is None]
    assert counting == ["front hose"]
