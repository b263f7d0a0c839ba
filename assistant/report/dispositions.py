"""Decisions on out-of-limit values in the record: open, released, refused or withdrawn."""

from __future__ import annotations

from assistant.dialogue.facts import DispositionDropped, DispositionRecorded
from assistant.report.gathering import Gathering
from assistant.report.lines.reading import DispositionLine


def recorded(g: Gathering, fact: DispositionRecorded) -> None:
    """A value was decided on, or the decision that waits was released."""
    decided = g.decided.setdefault(fact.step, [])
    waiting = [d for d in decided if d.position == fact.position and d.state == "open"]
    if fact.released_by is not None and waiting:
        line = waiting[-1]
        line.state, line.released_by, line.released_at = "released", fact.released_by, g.at
        return
    for line in waiting:  # decided again: the earlier decision no longer stands
        line.state = "withdrawn"
    released = fact.released_by is not None
    g.record.dispositions.append(
        DispositionLine(
            step=fact.step,
            position=fact.position,
            disposition=fact.disposition,
            reason=fact.reason,
            state="released" if released else "open",
            at=g.at,
            released_by=fact.released_by,
            released_at=g.at if released else None,
            clip=fact.clip,
        )
    )
    decided.append(g.record.dispositions[-1])


def dropped(g: Gathering, fact: DispositionDropped) -> None:
    """An inspector refused the decision, or the builder took it back."""
    decided = g.decided.get(fact.step, [])
    for line in decided:
        if (line.position, line.state) == (fact.position, "open"):
            if fact.how == "refused":
                line.state, line.refused_by, line.refused_at = "refused", fact.person, g.at
            else:
                line.state = "withdrawn"
    g.decided[fact.step] = [line for line in decided if line.state in ("open", "released")]


def withdraw(g: Gathering, step: str, position: str | None) -> None:
    """Decisions on a position, or on all of a step, no longer stand."""
    decided = g.decided.get(step, [])
    for line in decided:
        if position in (None, line.position):
            line.state = "withdrawn"
    g.decided[step] = [line for line in decided if line.state != "withdrawn"]
