"""Computed values in the record: readings whose source is a formula."""

from __future__ import annotations

from assistant.dialogue.facts import ValueDerived
from assistant.report import readings
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.model import StepLine
from assistant.report.sheet.blocks import Block
from assistant.report.sheet.page import Page
from assistant.report.sheet.reading_rows import measured


class DerivedReport(KindReport[ValueDerived]):
    """A value computed from earlier readings."""

    kind = "derived"
    section = "Measurements"
    facts = (ValueDerived,)

    def put(self, g: Gathering, fact: ValueDerived) -> None:
        """The value with its formula, among the readings."""
        readings.derived(g, fact)

    def reopened(self, g: Gathering, step: str) -> None:
        """The value no longer counts."""
        readings.step_reopened(g, step)

    def part(self, page: Page, step: StepLine) -> list[Block]:
        """A row for each value that counts."""
        return [*measured(page, step.id)]
