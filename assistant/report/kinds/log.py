"""Logs in the record: when they ran, how they ended, what was missed; their values are readings."""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue.kinds.log.facts import LogBegunAgain, LogEnded, LogStarted, RowMissed
from assistant.report import dispositions, readings
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.lines.step import LogLine, StepLine
from assistant.report.sheet import words
from assistant.report.sheet.blocks import Block, Cell, Column, Row, Table
from assistant.report.sheet.page import Page
from assistant.report.sheet.reading_rows import measured

_Own = LogStarted | RowMissed | LogEnded | LogBegunAgain
_COLUMNS = (
    Column("Log", 2), Column("From"), Column("Until"), Column("Every"), Column("Ended", 2),
    Column("Rows missed", 2),
)  # fmt: skip
_ENDED = {"": "not ended", "time": "time up", "settled": "settled", "not_settled": "NOT SETTLED"}


class LogReport(KindReport[_Own]):
    """A line for each log that was begun, and its readings."""

    kind = "log"
    section = "Measurements"
    facts = (LogStarted, RowMissed, LogEnded, LogBegunAgain)

    def put(self, g: Gathering, fact: _Own) -> None:
        """A log begins, misses a row, ends, or begins again."""
        match fact:
            case LogStarted(step=step, started=started, every=every, duration=duration):
                line = LogLine(step=step, started=started, every=every, duration=duration)
                g.record.logs.append(line)
            case RowMissed(step=step, due=due):
                for line in _running(g, step):
                    line.missed.append(due)
            case LogEnded(step=step, how=how):
                for line in _running(g, step):
                    line.ended_at, line.how = g.at, how
                    line.change, line.within, line.over = fact.change, fact.within, fact.over
            case LogBegunAgain(step=step):
                self.reopened(g, step)
                dispositions.withdraw(g, step, None)
            case _:
                assert_never(fact)

    def reopened(self, g: Gathering, step: str, why: str = "reopened") -> None:
        """Neither the log nor its readings count any longer."""
        for line in g.record.logs:
            if line.step == step and line.void_since is None:
                line.void_since = g.at
        readings.step_reopened(g, step, why)

    def in_short(self, fact: _Own) -> str:
        """The line of the terminal's transcript."""
        match fact:
            case LogStarted():
                return f"log every {fact.every} for {fact.duration}"
            case RowMissed():
                return f"row {fact.row + 1} missed"
            case LogEnded():
                return f"log ended: {_ENDED[fact.how]}, rows missed: {fact.missed}"
            case LogBegunAgain():
                return "log begun again"
            case _:
                assert_never(fact)

    def part(self, page: Page, step: StepLine) -> list[Block]:
        """The log, then its values."""
        rows = tuple(_row(page, line) for line in page.logs.get(step.id, []))
        table = [Table("Logs", _COLUMNS, rows)] if rows else []
        return [*table, *measured(page, step.id)]


def _running(g: Gathering, step: str) -> list[LogLine]:
    return [line for line in g.record.logs if line.step == step and line.void_since is None][-1:]


def _row(page: Page, line: LogLine) -> Row:
    void = line.void_since is not None
    ended = "begun again" if void else _ENDED[line.how]
    change = ""
    if line.within is not None and line.over is not None:
        known = "not known" if line.change is None else words.amount(line.change)
        most = words.amount(line.within)
        change = f"changed by {known} over {words.amount(line.over)}, at most {most}"
    missed = ", ".join(page.times.time(due) for due in line.missed)
    return Row(
        (
            Cell(page.title(line.step), page.numbered(line.step)),
            Cell(page.times.time(line.started)),
            Cell(page.times.time(line.ended_at) if line.ended_at else ""),
            Cell(words.amount(line.every), f"for {words.amount(line.duration)}"),
            Cell(ended, change),
            Cell(missed or "none", strong=bool(missed)),
        ),
        alarm=not void and (bool(missed) or line.how in ("", "not_settled")),
    )
