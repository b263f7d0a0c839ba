"""Measurements in the record: a value heard, confirmed, or superseded."""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue.kinds.measurement.facts import (
    ReadingConfirmed,
    ReadingOffered,
    ReadingSuperseded,
)
from assistant.report import dispositions, readings
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.kinds.measurement import putting
from assistant.report.lines.step import StepLine
from assistant.report.sheet.blocks import Block
from assistant.report.sheet.page import Page
from assistant.report.sheet.reading_rows import measured
from assistant.report.written import IN_SHORT
from assistant.shown_text import place_alone

_Own = ReadingOffered | ReadingConfirmed | ReadingSuperseded


class MeasurementReport(KindReport[_Own]):
    """Readings at the positions of a step."""

    kind = "measurement"
    section = "Measurements"
    facts = (ReadingOffered, ReadingConfirmed, ReadingSuperseded)

    def put(self, g: Gathering, fact: _Own) -> None:
        """A reading in the order in which it was heard."""
        match fact:
            case ReadingOffered():
                putting.offered(g, fact)
            case ReadingConfirmed():
                putting.confirmed(g, fact)
            case ReadingSuperseded(step=step, position=position):
                putting.superseded(g, fact)
                dispositions.withdraw(g, step, position)
            case _:
                assert_never(fact)

    def reopened(self, g: Gathering, step: str, why: str = "reopened") -> None:
        """Its readings no longer count."""
        readings.step_reopened(g, step, why)

    def in_short(self, fact: _Own) -> str:
        """A reading that counts."""
        if not isinstance(fact, ReadingConfirmed):
            return ""
        place = f" {place_alone(fact.quantity, fact.position)}".rstrip()
        return (
            f"{fact.quantity}{place} {fact.indication} "
            f"({fact.limits}): {IN_SHORT[fact.judgement.verdict]}"
        )

    def part(self, page: Page, step: StepLine) -> list[Block]:
        """A row for each value that counts."""
        return [*measured(page, step.id)]
