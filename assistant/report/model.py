"""The build record: what a session established, in the order and words of a workshop.

Times are ISO 8601 with offset, durations seconds. Nothing that was recorded is left out: what
no longer counts says since when and why.
"""

from __future__ import annotations

from typing import Literal

from assistant.report.lines.job import (
    ConditionLine,
    Document,
    ManualLine,
    MaterialLine,
    MomentLine,
    NoteLine,
    PartLine,
    PersonLine,
    PictureLine,
    RevisionLine,
    ToolLine,
    UnreadLine,
)
from assistant.report.lines.line import RecordLine
from assistant.report.lines.reading import AdjustmentLine, DispositionLine, ReadingLine
from assistant.report.lines.step import (
    AcknowledgedLine,
    ChosenLine,
    IdentifiedLine,
    InspectionLine,
    LogLine,
    PartDoneLine,
    StepLine,
    TimedLine,
    WaitLine,
)
from assistant.report.lines.tightening import TighteningLine


class BuildRecord(RecordLine):
    """Everything that one session established."""

    format: Literal["assembly-build-record"] = "assembly-build-record"
    version: Literal[3] = 3
    session: str = ""
    job: str = ""
    procedure_id: str = ""
    procedure: Document = Document(title="", revision="")
    procedure_sha256: str = ""
    governing: Document = Document(title="", revision="")
    demo_clock: bool = False
    opened_at: str = ""
    last_at: str = ""
    finished_at: str | None = None
    people: list[PersonLine] = []
    tools: list[ToolLine] = []
    parts: list[PartLine] = []
    materials: list[MaterialLine] = []
    manual: list[ManualLine] = []
    conditions: list[ConditionLine] = []
    dispositions: list[DispositionLine] = []
    steps: list[StepLine] = []
    readings: list[ReadingLine] = []
    tightenings: list[TighteningLine] = []
    identified: list[IdentifiedLine] = []
    chosen: list[ChosenLine] = []
    parts_done: list[PartDoneLine] = []
    timed: list[TimedLine] = []
    waits: list[WaitLine] = []
    logs: list[LogLine] = []
    inspections: list[InspectionLine] = []
    adjustments: list[AdjustmentLine] = []
    acknowledged: list[AcknowledgedLine] = []
    notes: list[NoteLine] = []
    pictures: list[PictureLine] = []
    revisions: list[RevisionLine] = []
    moments: list[MomentLine] = []
    clock_set_back_at: list[int] = []
    unread: list[UnreadLine] = []
    entries: int = 0
    last_hash: str = ""

    def step_line(self, step: str) -> StepLine | None:
        """The line of the step with this id."""
        return next((line for line in self.steps if line.id == step), None)

    def skipped(self) -> list[StepLine]:
        """The steps that were skipped."""
        return [line for line in self.steps if line.outcome == "skipped"]

    def counting(self) -> list[ReadingLine]:
        """The readings that count."""
        return [line for line in self.readings if line.status == "counts"]
