"""The five jobs of the trade are gone through with what a real one has.

A value out of limits that a second person lets stand, an adjustment that puts another right, and
work that is stopped and resumed.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from assistant.journal.types import Entry
from assistant.report.record import build_record
from tests.session import test_golden, test_pump_job

JOBS = (
    "kb2_bevel_drive", "kb5_lathe_spindle", "kb7_pipe_flange", "kb7_tailrace_pump",
    "kb9_standby_engine",
)  # fmt: skip


def entries_of(name: str) -> Sequence[Entry]:
    if name == test_pump_job.NAME:
        return test_pump_job.perform()[1].entries
    return test_golden.perform(name)[3].entries


@pytest.mark.parametrize("name", JOBS)
def test_a_job_has_a_value_out_of_limits_an_adjustment_and_a_resume(name: str) -> None:
    entries = entries_of(name)
    assert [e for e in entries if (e.kind, e.body.get("kind")) == ("event", "resumed")]
    record = build_record(entries)
    assert record.adjustments
    assert [d for d in record.dispositions if d.released_by]
