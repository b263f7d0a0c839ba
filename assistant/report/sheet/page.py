"""What the parts of a laid-out record look up: lines by step, names, times, scales."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, tzinfo
from functools import cached_property
from typing import Protocol, TypeVar

from assistant.quantities.limits import Limits
from assistant.report.lines.job import ToolLine, there_at
from assistant.report.lines.reading import ReadingLine
from assistant.report.lines.step import (
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
from assistant.report.model import BuildRecord
from assistant.report.sheet.words import Times
from assistant.report.tolerance_plot import Scale, scale_of


class _OfStep(Protocol):
    @property
    def step(self) -> str | None: ...


_L = TypeVar("_L", bound=_OfStep)


class Page:
    """A record with its look-ups. ``zone`` is that of the reader; None: the machine's own."""

    def __init__(self, record: BuildRecord, zone: tzinfo | None = None) -> None:
        self.record = record
        self.times = Times(record.opened_at, zone)
        self.steps = [*record.steps, *_unlisted_steps(record)]
        self._titles = {line.id: line.title for line in self.steps}
        self._numbers = {line.id: line.number for line in record.steps}
        # of several in the place of one gauge the last that was used, else the first
        self._tools = {tool.id: tool for tool in reversed(record.tools)}
        self._tools |= {tool.id: tool for tool in record.tools if tool.used}
        self.struck = [
            r for r in record.readings if r.status in ("superseded", "not_taken", "evidence")
        ]
        """The readings that the appendix lists, in its order."""

    @cached_property
    def readings(self) -> dict[str, list[ReadingLine]]:
        """Step id -> its readings."""
        return by_step(self.record.readings)

    @cached_property
    def identified(self) -> dict[str, list[IdentifiedLine]]:
        """Step id -> its lines."""
        return by_step(self.record.identified)

    @cached_property
    def chosen(self) -> dict[str, list[ChosenLine]]:
        """Step id -> its lines."""
        return by_step(self.record.chosen)

    @cached_property
    def inspections(self) -> dict[str, list[InspectionLine]]:
        """Step id -> its lines."""
        return by_step(self.record.inspections)

    @cached_property
    def waits(self) -> dict[str, list[WaitLine]]:
        """Step id -> its lines."""
        return by_step(self.record.waits)

    @cached_property
    def parts_done(self) -> dict[str, list[PartDoneLine]]:
        """Step id -> its lines."""
        return by_step(self.record.parts_done)

    @cached_property
    def timed(self) -> dict[str, list[TimedLine]]:
        """Step id -> its lines."""
        return by_step(self.record.timed)

    @cached_property
    def logs(self) -> dict[str, list[LogLine]]:
        """Step id -> its lines."""
        return by_step(self.record.logs)

    @cached_property
    def tightenings(self) -> dict[str, list[TighteningLine]]:
        """Step id -> its lines."""
        return by_step(self.record.tightenings)

    @cached_property
    def struck_numbers(self) -> dict[tuple[str, str], list[int]]:
        """Step and place -> the numbers that its struck-out readings have in the appendix."""
        found: dict[tuple[str, str], list[int]] = {}
        for number, line in enumerate(self.struck, 1):
            found.setdefault((line.step, line.position), []).append(number)
        return found

    @cached_property
    def _of_quantity(self) -> dict[tuple[str, Limits], list[ReadingLine]]:
        found: dict[tuple[str, Limits], list[ReadingLine]] = {}
        for line in self.record.readings:
            found.setdefault((line.quantity, line.limits), []).append(line)
        return found

    @cached_property
    def _scales(self) -> dict[tuple[str, Limits], Scale]:
        return {}

    def scale(self, line: ReadingLine) -> Scale:
        """The one scale of the quantity that ``line`` is a reading of."""
        key = (line.quantity, line.limits)
        if key not in self._scales:
            same = self._of_quantity[key]
            unit = same[0].indication.amount.unit
            self._scales[key] = scale_of(line.limits, unit, [r.indication for r in same])
        return self._scales[key]

    def title(self, step: str | None) -> str:
        """A step's title; "the job" for None."""
        return "the job" if step is None else self._titles.get(step, step)

    def numbered(self, step: str) -> str:
        """``step 4``, or nothing where the procedure does not have it."""
        number = self._numbers.get(step)
        return "" if number is None else f"step {number}"

    def place(self, step: str) -> str:
        """Number and title of a step."""
        number = self._numbers.get(step)
        return self.title(step) if number is None else f"Step {number}, {self.title(step)}"

    def tool(self, tool: str) -> ToolLine | None:
        """A tool of the procedure."""
        return self._tools.get(tool)

    def tool_name(self, tool: str, at: str = "") -> str:
        """The bench's own name of a tool, ``at`` an instant, else the procedure's."""
        line = there_at(self.record.tools, tool, at) if at else self._tools.get(tool)
        return tool if line is None else line.own_name or line.name

    def overdue(self, tool: ToolLine) -> bool:
        """Whether its calibration had run out on the last day that it was there."""
        due = tool.calibration_due
        return due is not None and self.past(due, tool.until or self.record.last_at)

    def past(self, due: str, at: str) -> bool:
        """Whether the day ``due`` (ISO 8601) was over at an instant."""
        try:
            last = date.fromisoformat(self.times.day(at))
            return date.fromisoformat(due) < last
        except ValueError:
            return False

    @property
    def builders(self) -> list[str]:
        """The builders' names."""
        return [p.name for p in self.record.people if p.role == "builder"]


def by_step(lines: Sequence[_L]) -> dict[str, list[_L]]:
    """Step id -> its lines."""
    found: dict[str, list[_L]] = {}
    for line in lines:
        found.setdefault(line.step or "", []).append(line)
    return found


def _unlisted_steps(record: BuildRecord) -> list[StepLine]:
    """Steps that have lines in the record and are not in its list: nothing is left out."""
    known = {line.id for line in record.steps}
    lines: list[Sequence[_OfStep]] = [
        record.readings, record.tightenings, record.identified, record.chosen,
        record.inspections, record.waits, record.logs,
        record.parts_done, record.timed,
    ]  # fmt: skip
    strange = dict.fromkeys(
        line.step for kind in lines for line in kind if line.step and line.step not in known
    )
    return [StepLine(id=s, number=0, title=s, kind="", reference="") for s in strange]
