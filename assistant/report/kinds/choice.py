"""Choices in the record."""

from __future__ import annotations

from assistant.dialogue.kinds.choice import Chosen
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.lines.step import ChosenLine, StepLine
from assistant.report.sheet.blocks import Block, Cell, Column, Row, Table
from assistant.report.sheet.page import Page
from assistant.shown_text import id_in_words

_COLUMNS = (Column("Choice", 2), Column("Chosen", 2), Column("When"))


class ChoiceReport(KindReport[Chosen]):
    """The option that was chosen."""

    kind = "choice"
    section = "Choices"
    facts = (Chosen,)

    def put(self, g: Gathering, fact: Chosen) -> None:
        """The option, which counts until its step is opened again."""
        line = ChosenLine(at=g.at, step=fact.step, option=fact.option)
        g.record.chosen.append(line)
        g.stands(line)

    def part(self, page: Page, step: StepLine) -> list[Block]:
        """The option that counts."""
        rows = tuple(
            Row(
                (
                    Cell(page.title(step.id), page.numbered(step.id)),
                    Cell(id_in_words(line.option)),
                    Cell(page.times.time(line.at)),
                )
            )
            for line in page.chosen.get(step.id, [])
            if line.superseded_at is None
        )
        return [Table("Choices", _COLUMNS, rows)] if rows else []
