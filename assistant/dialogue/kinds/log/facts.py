"""What is recorded of a log beside its readings."""

from __future__ import annotations

from typing import Literal

from assistant.dialogue.facts import Fact
from assistant.quantities.amount import Amount


class LogStarted(Fact):
    """A log began: every so often, for a time, from ``started`` (ISO 8601)."""

    kind: Literal["log_started"] = "log_started"
    step: str
    started: str
    every: Amount
    duration: Amount


class RowMissed(Fact):
    """The row that was due at ``due`` was not read before the next one was due."""

    kind: Literal["row_missed"] = "row_missed"
    step: str
    row: int
    due: str


class LogEnded(Fact):
    """A log is over. ``how``: its time was up, its values settled, or they never did.

    ``change`` is the largest that a value changed by in the last time ``over``; None where nothing
    was to settle, or a row of it was missed.
    """

    kind: Literal["log_ended"] = "log_ended"
    step: str
    how: Literal["time", "settled", "not_settled"]
    rows: int
    missed: int
    change: Amount | None = None
    within: Amount | None = None
    over: Amount | None = None


class LogBegunAgain(Fact):
    """The part was changed, or the log was taken back: what it has counts no longer."""

    kind: Literal["log_begun_again"] = "log_begun_again"
    step: str
