"""Numbers read off parts, in the record."""

from __future__ import annotations

from assistant.dialogue.facts import Identified
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.model import IdentifiedLine


class IdentificationReport(KindReport[Identified]):
    """A serial, batch or part number."""

    kind = "identification"
    facts = (Identified,)

    def put(self, g: Gathering, fact: Identified) -> None:
        """The number, which counts until its step is opened again."""
        line = IdentifiedLine(
            at=g.at, step=fact.step, part=fact.part, what=fact.what, text=fact.text, clip=g.clip
        )
        g.record.identified.append(line)
        g.stands(line)
