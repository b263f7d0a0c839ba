"""Hold points in the record."""

from __future__ import annotations

from assistant.dialogue.facts import Inspected
from assistant.procedure.models import InspectionStep
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.model import InspectionLine


class InspectionReport(KindReport[Inspected]):
    """A hold point, accepted or refused."""

    kind = "inspection"
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
