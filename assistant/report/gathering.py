"""What is at hand while a record is read: the record so far and the event being answered."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TypeVar

from assistant.journal.types import Entry
from assistant.procedure.models import Procedure
from assistant.procedure.step import Step
from assistant.report.lines.job import ToolLine, there_at
from assistant.report.lines.line import ReplaceableLine
from assistant.report.lines.reading import DispositionLine, ReadingLine
from assistant.report.lines.step import StepLine
from assistant.report.model import BuildRecord

_S = TypeVar("_S")


@dataclass
class Gathering:
    """The growing record. ``event`` is the entry whose facts are being read."""

    record: BuildRecord
    procedure: Procedure | None = None
    event: Entry | None = None
    # the readings of each step and position that are not settled yet, or count; a session of
    # many weeks would be searched through for every reading otherwise
    live: dict[tuple[str, str], list[ReadingLine]] = field(default_factory=dict)
    # the same of a step's numbers, choices and inspections that count, and of its decisions
    standing: dict[str, list[ReplaceableLine]] = field(default_factory=dict)
    decided: dict[str, list[DispositionLine]] = field(default_factory=dict)
    # how many fasteners stand tightened in a pass of a step
    tightened: Counter[tuple[str, int]] = field(default_factory=Counter)
    cut: set[str] = field(default_factory=set)  # lines cut short that are owed

    @property
    def at(self) -> str:
        """When the present event happened; of a fact before any event, when the record begins."""
        return self.record.opened_at if self.event is None else self.event.at

    @property
    def entry(self) -> int:
        """The number of the present event in the journal; 0 of a fact before any event."""
        return 0 if self.event is None else self.event.seq

    @property
    def clip(self) -> str | None:
        """The sound of the present event."""
        return None if self.event is None else self.event.clip

    @property
    def engine(self) -> str | None:
        """The recogniser that heard the present event."""
        return None if self.event is None else self.event.engine

    def step(self, step_id: str, kind: type[_S]) -> _S | None:
        """The procedure's step, where it is known and of this kind."""
        found = self.any_step(step_id)
        return found if isinstance(found, kind) else None

    def any_step(self, step_id: str) -> Step | None:
        """The procedure's step, of whatever kind, where it is known."""
        if self.procedure is None:
            return None
        return next((s for s in self.procedure.steps if s.id == step_id), None)

    def line(self, step_id: str, title: str = "") -> StepLine:
        """The record's line of a step, made where the procedure does not have it."""
        line = self.record.step_line(step_id)
        if line is None:
            number = len(self.record.steps) + 1
            line = StepLine(
                id=step_id, number=number, title=title or step_id, kind="", reference=""
            )
            self.record.steps.append(line)
        return line

    def stands(self, line: ReplaceableLine) -> None:
        """``line`` counts until its step is opened again."""
        self.standing.setdefault(line.step, []).append(line)

    def tool_used(self, tool: str, name: str = "", at: str = "") -> ToolLine | None:
        """A value came from this tool: the bench's own of that name, else the one there ``at`` an
        instant, else the one there last.
        """
        lines = [line for line in self.record.tools if line.id == tool]
        named = [line for line in lines if name and line.own_name == name]
        line = next(reversed(named or lines), None)
        if at and not named:
            line = there_at(lines, tool, at) or line
        if line is not None:
            line.used = True
        return line

    def builder(self) -> str:
        """The builders' names."""
        return ", ".join(p.name for p in self.record.people if p.role == "builder")
