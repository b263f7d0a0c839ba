"""Hold points in the record."""

from __future__ import annotations

from assistant.dialogue.kinds.inspection import Inspected
from assistant.procedure.kinds.inspection import InspectionStep
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.lines.step import InspectionLine, StepLine
from assistant.report.sheet.blocks import Block, Cell, Column, Row, Table
from assistant.report.sheet.page import Page

_COLUMNS = (Column("Hold point", 1.6), Column("Criteria", 3), Column("Decision"), Column("By"))


class InspectionReport(KindReport[Inspected]):
    """A hold point, accepted or refused."""

    kind = "inspection"
    section = "Hold points"
    facts = (Inspected,)

    def put(self, g: Gathering, fact: Inspected) -> None:
        """Who decided what by which criteria; it counts until its step is opened again."""
        step = g.step(fact.step, InspectionStep)
        line = InspectionLine(
            at=g.at,
            step=fact.step,
            criteria="" if step is None else step.criteria,
            person=fact.person,
            accepted=fact.accepted,
            clip=g.clip,
        )
        g.record.inspections.append(line)
        g.stands(line)

    def in_short(self, fact: Inspected) -> str:
        """Who decided, and how."""
        return f"inspection {'accepted' if fact.accepted else 'refused'} by {fact.person}"

    def part(self, page: Page, step: StepLine) -> list[Block]:
        """Every decision of an inspector, refusals too."""
        rows = tuple(
            Row(
                (
                    Cell(page.title(step.id), page.numbered(step.id)),
                    Cell(line.criteria),
                    Cell(
                        "accepted" if line.accepted else "refused",
                        "superseded: the step was done again" if line.superseded_at else "",
                        strong=True,
                    ),
                    Cell(line.person, page.times.time(line.at), sound=line.clip),
                ),
                alarm=not line.accepted,
            )
            for line in page.inspections.get(step.id, [])
        )
        return [Table("Hold points", _COLUMNS, rows)] if rows else []
