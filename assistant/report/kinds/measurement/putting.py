"""Readings of a measurement in the record: heard, confirmed, superseded."""

from __future__ import annotations

from assistant.dialogue.kinds.measurement.facts import (
    ReadingConfirmed,
    ReadingOffered,
    ReadingSuperseded,
)
from assistant.procedure.step import ReadStep
from assistant.quantities.limits import Limits
from assistant.report.gathering import Gathering
from assistant.report.lines.reading import ReadingLine
from assistant.report.readings import add, live


def offered(g: Gathering, fact: ReadingOffered) -> None:
    """A value was heard. Until it is confirmed it does not count."""
    read = g.any_step(fact.step)
    known = isinstance(read, ReadStep) and fact.position in read.places
    step = read.at(fact.position) if isinstance(read, ReadStep) and known else None
    add(
        g,
        ReadingLine(
            step=fact.step,
            position=fact.position,
            quantity="" if step is None else step.quantity,
            at=g.at,
            entry=g.entry,
            indication=fact.indication,
            limits=fact.limits or (Limits() if step is None else step.limits),
            judgement=fact.judgement,
            status="unconfirmed",
            gauge="" if step is None else step.gauge,
            heard=fact.heard,
            digits_asked=fact.digits_asked,
            why_asked=fact.why_asked,
            by=g.builder(),
            engine=g.engine,
            clip=g.clip,
        ),
    )


def confirmed(g: Gathering, fact: ReadingConfirmed) -> None:
    """A value counts: the last one heard there, or an interval of several blades."""
    waiting = [r for r in live(g, fact.step, fact.position) if r.status == "unconfirmed"]
    for line in live(g, fact.step, fact.position):
        if line.status == "counts":  # confirmed again, as a step reviewed twice may be
            line.status, line.superseded_at = "superseded", g.at
            line.superseded_why = "confirmed again"
    same = waiting[-1] if waiting and waiting[-1].indication == fact.indication else None
    for line in waiting:
        if line is not same:
            line.status = "not_taken" if line.indication.relation == "eq" else "evidence"
    if same is None:
        # blades combined to an interval: a value of its own, heard with the last of them
        last = waiting[-1] if waiting else None
        same = ReadingLine(
            step=fact.step,
            position=fact.position,
            quantity=fact.quantity,
            at=g.at if last is None else last.at,
            entry=g.entry if last is None else last.entry,
            indication=fact.indication,
            limits=fact.limits,
            judgement=fact.judgement,
            status="counts",
            heard="" if last is None else last.heard,
            by=g.builder(),
            engine=None if last is None else last.engine,
            clip=None if last is None else last.clip,
        )
        add(g, same)
    same.status = "counts"
    same.quantity, same.limits, same.judgement = fact.quantity, fact.limits, fact.judgement
    same.gauge, same.how = fact.gauge, fact.how
    same.tool, same.uncertainty = fact.tool_name, fact.uncertainty
    same.due, same.late_s = fact.due or None, fact.late_s
    same.confirmed_at, same.confirmed_clip = g.at, g.clip
    g.tool_used(fact.gauge, fact.tool_name, same.at)


def superseded(g: Gathering, fact: ReadingSuperseded) -> None:
    """The value of a position no longer counts.

    Several blades may make up that value; all of them go with it. A value heard in this very
    event is the one that takes its place, and stays.
    """
    standing = live(g, fact.step, fact.position)
    earlier = [line for line in standing if line.entry != g.entry]
    gone = earlier or standing
    for line in gone:
        misheard = line is not gone[-1] and line.indication.relation == "eq"
        line.status = "not_taken" if misheard else "superseded"
        if not misheard:
            line.superseded_at, line.superseded_why = g.at, fact.why
