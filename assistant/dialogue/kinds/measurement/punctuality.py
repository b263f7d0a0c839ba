"""When a value of a log was read, when it was to be, and how late it is."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TypedDict

from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.log import LogStep


class Punctuality(TypedDict, total=False):
    """The time fields of a value; empty for a value that is not due at a set time."""

    read_at: str
    due: str
    late_s: int
    behind_ms: int


def punctuality(turn: Turn, index: int) -> Punctuality:
    """When the value at place ``index`` was due, and is read now."""
    step = turn.step
    run = turn.state.logs.get(step.id)
    if run is None or not isinstance(step, LogStep):
        return {}
    row = step.row_of(index)
    late = behind(turn, step, row)
    allowed = timedelta(microseconds=int(step.late_s * 1_000_000))
    late_s = int(late.total_seconds()) if late > allowed else 0
    return {
        "read_at": turn.at,
        "due": run.due[row],
        "late_s": late_s,
        "behind_ms": late // timedelta(milliseconds=1),
    }


def behind(turn: Turn, step: LogStep, row: int) -> timedelta:
    """How long ago ``row`` was due; by the steady clock where that tells."""
    run = turn.state.logs[step.id]
    due_ms = run.due_ms[row]
    if due_ms is not None and turn.elapsed_ms is not None and run.boot == turn.state.boot:
        return timedelta(milliseconds=turn.elapsed_ms - due_ms)
    return datetime.fromisoformat(turn.at) - datetime.fromisoformat(run.due[row])
