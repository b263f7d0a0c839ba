"""Waits in the record."""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue.facts import WaitOver, WaitStarted
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.model import WaitLine


class WaitReport(KindReport[WaitStarted | WaitOver]):
    """From when until when a wait ran, and when it was over."""

    kind = "wait"
    facts = (WaitStarted, WaitOver)

    def put(self, g: Gathering, fact: WaitStarted | WaitOver) -> None:
        """A wait begins, or those of its step end."""
        match fact:
            case WaitStarted(step=step, started=started, until=until):
                g.record.waits.append(WaitLine(step=step, started=started, until=until))
            case WaitOver(step=step):
                for wait in g.record.waits:
                    if wait.step == step and wait.over_at is None:
                        wait.over_at = g.at
            case _:
                assert_never(fact)
