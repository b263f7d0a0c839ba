"""Lines of the record about a step, and about what was done in it."""

from __future__ import annotations

from typing import Literal

from assistant.report.lines.line import RecordLine, ReplaceableLine
from assistant.report.written import (
    AmountOut,
    DifferenceOut,
)


class Visit(RecordLine):
    """One time that a step was open. ``how`` is empty while it has not been closed."""

    opened_at: str
    closed_at: str | None = None
    how: str = ""
    reason: str = ""


class StepLine(RecordLine):
    """A step of the procedure; ``outcome`` is ``pending`` until it is closed.

    ``part_way``: a tightening that was begun, and skipped before all of it was done.
    """

    id: str
    number: int
    title: str
    kind: str
    reference: str
    outcome: Literal["pending", "open", "done", "skipped", "not_applicable"] = "pending"
    reason: str = ""
    part_way: bool = False
    visits: list[Visit] = []
    seconds: float = 0.0


class AcknowledgedLine(RecordLine):
    """A caution or torque announcement that the builder acknowledged."""

    at: str
    step: str
    what: str


class IdentifiedLine(ReplaceableLine):
    part: str
    what: str
    text: str
    clip: str | None = None


class ChosenLine(ReplaceableLine):
    option: str


class PartDoneLine(ReplaceableLine):
    """One of several parts that were confirmed one by one."""

    name: str


class TimedLine(ReplaceableLine):
    """Work with a longest time; ``over_s`` are the seconds beyond it, where that is ``known``."""

    allowed: AmountOut
    took_s: int
    over_s: int
    known: bool = True


class WaitLine(RecordLine):
    step: str
    started: str
    until: str
    over_at: str | None = None


class LogLine(RecordLine):
    """A log that was begun; ``how`` it ended: ``time``, ``settled`` or ``not_settled``.

    ``missed`` are the times at which a row was due that was not read. ``void_since``: begun again.
    """

    step: str
    started: str
    every: AmountOut
    duration: AmountOut
    missed: list[str] = []
    ended_at: str | None = None
    how: Literal["", "time", "settled", "not_settled"] = ""
    change: DifferenceOut | None = None
    within: DifferenceOut | None = None
    over: AmountOut | None = None
    void_since: str | None = None


class InspectionLine(ReplaceableLine):
    """A hold point, accepted or refused."""

    criteria: str
    person: str
    accepted: bool
    clip: str | None = None
