"""Actions in the record: parts confirmed one by one, and how long timed work took."""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue.kinds.action import PartDone, PartReopened, TimedWork
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.lines.step import PartDoneLine, StepLine, TimedLine
from assistant.report.sheet import words
from assistant.report.sheet.blocks import Block, Cell, Column, Row, Table
from assistant.report.sheet.page import Page

_TIMES = (Column("Timed work", 2), Column("Allowed"), Column("Took"), Column("Over"))
_PARTS = (Column("Confirmed one by one", 2), Column("Part", 2), Column("At"))


_Own = PartDone | PartReopened | TimedWork


class ActionReport(KindReport[_Own]):
    """What was confirmed of the parts, and against the clock."""

    kind = "action"
    section = "Work confirmed"
    facts = (PartDone, PartReopened, TimedWork)

    def put(self, g: Gathering, fact: _Own) -> None:
        """A part or a time, which counts until its step is opened again."""
        match fact:
            case PartDone(step=step, name=name):
                done = PartDoneLine(at=g.at, step=step, name=name)
                g.record.parts_done.append(done)
                g.stands(done)
            case PartReopened(step=step, name=name):
                for line in g.record.parts_done:
                    if (line.step, line.name, line.superseded_at) == (step, name, None):
                        line.superseded_at = g.at
            case TimedWork():
                timed = TimedLine(
                    at=g.at,
                    step=fact.step,
                    allowed=fact.allowed,
                    took_s=fact.took_s,
                    over_s=fact.over_s,
                    known=fact.known,
                )
                g.record.timed.append(timed)
                g.stands(timed)
            case _:
                assert_never(fact)

    def in_short(self, fact: _Own) -> str:
        """A part, or how long it took."""
        match fact:
            case PartDone():
                return f"{fact.name} done"
            case PartReopened():
                return f"{fact.name} not done after all"
            case TimedWork(known=False):
                return f"took an unknown time of {fact.allowed}"
            case TimedWork():
                over = f", {fact.over_s} s over" if fact.over_s else ""
                return f"took {fact.took_s} s of {fact.allowed}{over}"
            case _:
                assert_never(fact)

    def part(self, page: Page, step: StepLine) -> list[Block]:
        """The parts, then the time."""
        place = Cell(page.title(step.id), page.numbered(step.id))
        parts = tuple(
            Row((place, Cell(line.name), Cell(page.times.time(line.at))))
            for line in page.parts_done.get(step.id, [])
            if line.superseded_at is None
        )
        times = tuple(
            Row(
                (
                    place,
                    Cell(words.amount(line.allowed)),
                    Cell(f"{line.took_s} s" if line.known else "not known"),
                    _over(line),
                ),
                alarm=line.over_s > 0 or not line.known,
            )
            for line in page.timed.get(step.id, [])
            if line.superseded_at is None
        )
        blocks: list[Block] = [Table("Confirmed one by one", _PARTS, parts)] if parts else []
        return [*blocks, *([Table("Timed work", _TIMES, times)] if times else [])]


def _over(line: TimedLine) -> Cell:
    if not line.known:
        return Cell("NOT KNOWN", strong=True)
    return Cell(f"OVER by {line.over_s} s", strong=True) if line.over_s else Cell("no")
