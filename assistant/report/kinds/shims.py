"""Shims in the record: the gap that they leave is a computed reading."""

from __future__ import annotations

from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.report import readings
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.model import StepLine
from assistant.report.sheet.blocks import Block
from assistant.report.sheet.page import Page
from assistant.report.sheet.reading_rows import measured


class ShimsReport(KindReport[ShimsChosen]):
    """Shims that were fitted."""

    kind = "shims"
    section = "Measurements"
    facts = (ShimsChosen,)

    def put(self, g: Gathering, fact: ShimsChosen) -> None:
        """The gap that is left, among the readings."""
        readings.shimmed(g, fact)

    def reopened(self, g: Gathering, step: str) -> None:
        """The gap no longer counts."""
        readings.step_reopened(g, step)

    def part(self, page: Page, step: StepLine) -> list[Block]:
        """A row for each value that counts."""
        return [*measured(page, step.id)]
