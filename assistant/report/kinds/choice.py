"""Choices in the record."""

from __future__ import annotations

from assistant.dialogue.facts import Chosen
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.model import ChosenLine


class ChoiceReport(KindReport[Chosen]):
    """The option that was chosen."""

    kind = "choice"
    facts = (Chosen,)

    def put(self, g: Gathering, fact: Chosen) -> None:
        """The option, which counts until its step is opened again."""
        line = ChosenLine(at=g.at, step=fact.step, option=fact.option)
        g.record.chosen.append(line)
        g.stands(line)
