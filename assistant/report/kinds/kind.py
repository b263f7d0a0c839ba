"""What the record needs to know of a step kind."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import Any, ClassVar, Generic, TypeVar

from assistant.dialogue.facts import Fact
from assistant.report.gathering import Gathering
from assistant.report.lines.step import StepLine
from assistant.report.model import BuildRecord
from assistant.report.sheet.blocks import Block
from assistant.report.sheet.page import Page

F = TypeVar("F", bound=Fact)


class KindReport(ABC, Generic[F]):
    """One step kind in the record; ``F`` are the facts that it alone records."""

    kind: ClassVar[str]
    section: ClassVar[str] = ""
    """The title of the section that its part of the page belongs to."""
    facts: ClassVar[tuple[type[Fact], ...]] = ()

    @abstractmethod
    def put(self, g: Gathering, fact: F) -> None:
        """Put one of the kind's own facts in its place."""

    @abstractmethod
    def part(self, page: Page, step: StepLine) -> list[Block]:
        """What the page shows of ``step``; tables with the same columns become one."""

    def in_short(self, fact: F) -> str:
        """The fact as one line of a transcript; empty of one that a builder would not look for."""
        return ""

    def not_recorded(self, record: BuildRecord, step: Any) -> list[str]:
        """What of ``step`` a finished record lacks, a sentence each."""
        return []

    def skipped(self, g: Gathering, step: str) -> None:  # most kinds take back what does not count
        """``step`` was skipped: what counts no longer, and was not taken back before."""

    def reopened(  # most kinds keep nothing
        self, g: Gathering, step: str, why: str = "reopened"
    ) -> None:
        """The builder went back to ``step``: what the kind recorded there no longer counts."""
