"""Waits in the record."""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue.facts import WaitOver, WaitStarted
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.lines.step import StepLine, WaitLine
from assistant.report.sheet.blocks import Block, Cell, Column, Row, Table
from assistant.report.sheet.page import Page

_COLUMNS = (Column("Wait", 2), Column("From"), Column("Until"), Column("Over"))


class WaitReport(KindReport[WaitStarted | WaitOver]):
    """From when until when a wait ran, and when it was over."""

    kind = "wait"
    section = "Waits"
    facts = (WaitStarted, WaitOver)

    def put(self, g: Gathering, fact: WaitStarted | WaitOver) -> None:
        """A wait begins, or those of its step end."""
        match fact:
            case WaitStarted(step=step, started=started, until=until):
                g.record.waits.append(WaitLine(step=step, started=started, until=until))
            case WaitOver(step=step):
                for wait in reversed(g.record.waits):
                    if wait.step == step:
                        if wait.over_at is not None:
                            break  # so are all before it
                        wait.over_at = g.at
            case _:
                assert_never(fact)

    def part(self, page: Page, step: StepLine) -> list[Block]:
        """From when until when, and whether it was waited out."""
        rows = tuple(
            Row(
                (
                    Cell(page.title(step.id), page.numbered(step.id)),
                    Cell(page.times.time(line.started)),
                    Cell(page.times.time(line.until)),
                    Cell(page.times.time(line.over_at) if line.over_at else "not over"),
                ),
                alarm=line.over_at is None and step.outcome == "done",
            )
            for line in page.waits.get(step.id, [])
        )
        return [Table("Waits", _COLUMNS, rows)] if rows else []
