"""Computed values in the record: readings whose source is a formula."""

from __future__ import annotations

from assistant.dialogue.facts import ValueDerived
from assistant.report import readings
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport


class DerivedReport(KindReport[ValueDerived]):
    """A value computed from earlier readings."""

    kind = "derived"
    facts = (ValueDerived,)

    def put(self, g: Gathering, fact: ValueDerived) -> None:
        """The value with its formula, among the readings."""
        readings.derived(g, fact)

    def reopened(self, g: Gathering, step: str) -> None:
        """The value no longer counts."""
        readings.step_reopened(g, step)
