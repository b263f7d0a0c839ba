"""Numbers read off parts, in the record."""

from __future__ import annotations

from assistant.dialogue.kinds.identification import Identified, NumbersDiffer
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.lines.job import MomentLine
from assistant.report.lines.step import IdentifiedLine, StepLine
from assistant.report.sheet.blocks import Block, Cell, Column, Row, Table
from assistant.report.sheet.page import Page
from assistant.shown_text import id_in_words

_COLUMNS = (Column("Part", 2), Column("Number", 2), Column("Kind"), Column("Read"))


class IdentificationReport(KindReport[Identified | NumbersDiffer]):
    """A serial, batch or part number."""

    kind = "identification"
    section = "Parts"
    facts = (Identified, NumbersDiffer)

    def put(self, g: Gathering, fact: Identified | NumbersDiffer) -> None:
        """The number, which counts until its step is opened again; or that it is no pair."""
        if isinstance(fact, NumbersDiffer):
            moment = MomentLine(at=g.at, what="numbers differ", detail=self.in_short(fact))
            g.record.moments.append(moment)
            return
        line = IdentifiedLine(
            at=g.at, step=fact.step, part=fact.part, what=fact.what, text=fact.text, clip=g.clip
        )
        g.record.identified.append(line)
        g.stands(line)

    def in_short(self, fact: Identified | NumbersDiffer) -> str:
        """The number, and what it is of."""
        if isinstance(fact, NumbersDiffer):
            return f"{fact.part} {fact.text} is not {fact.expected} of {fact.same_as}"
        return f"{fact.part} {id_in_words(fact.what)} {fact.text}"

    def part(self, page: Page, step: StepLine) -> list[Block]:
        """A row for each number that counts, and who read it when."""
        names = {p.id: p.name for p in page.record.parts}
        rows = tuple(
            Row(
                (
                    Cell(names.get(line.part, id_in_words(line.part))),
                    Cell(line.text, strong=True),
                    Cell(id_in_words(line.what)),
                    Cell(page.times.time(line.at), page.numbered(step.id), sound=line.clip),
                )
            )
            for line in page.identified.get(step.id, [])
            if line.superseded_at is None
        )
        return [Table("Numbers read off parts", _COLUMNS, rows)] if rows else []
