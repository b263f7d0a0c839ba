"""A caution in the record: its acknowledgement is one that any step may have."""

from __future__ import annotations

from typing import Never, assert_never

from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.lines.step import StepLine
from assistant.report.sheet.blocks import Block
from assistant.report.sheet.page import Page


class CautionReport(KindReport[Never]):
    """No facts of its own."""

    kind = "caution"

    def put(self, g: Gathering, fact: Never) -> None:
        """Nothing of its own to put."""
        assert_never(fact)

    def part(self, page: Page, step: StepLine) -> list[Block]:
        """Nothing beside what every step has."""
        return []
