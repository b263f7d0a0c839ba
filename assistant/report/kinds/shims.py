"""Shims in the record: the gap that they leave is a computed reading."""

from __future__ import annotations

from assistant.dialogue.facts import ShimsChosen
from assistant.report import readings
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport


class ShimsReport(KindReport[ShimsChosen]):
    """Shims that were fitted."""

    kind = "shims"
    facts = (ShimsChosen,)

    def put(self, g: Gathering, fact: ShimsChosen) -> None:
        """The gap that is left, among the readings."""
        readings.shimmed(g, fact)

    def reopened(self, g: Gathering, step: str) -> None:
        """The gap no longer counts."""
        readings.step_reopened(g, step)
