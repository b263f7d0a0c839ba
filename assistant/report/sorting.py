"""Puts each kind of fact in its place in the record."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import assert_never

from assistant.dialogue.facts import (
    Acknowledged,
    AnyFact,
    Chosen,
    ConditionChosen,
    DispositionDropped,
    DispositionRecorded,
    FastenerReopened,
    FastenerTightened,
    Identified,
    Inspected,
    ListeningPaused,
    ManualChecked,
    NoteTaken,
    NoteTakenBack,
    PictureAttached,
    PictureTakenBack,
    ReadingConfirmed,
    ReadingOffered,
    ReadingSuperseded,
    RevisionNoticed,
    ShimsChosen,
    StepDone,
    StepOpened,
    StepReopened,
    ToolChecked,
    TorqueAnnounced,
    ValueDerived,
    WaitOver,
    WaitStarted,
    WorkFinished,
    WorkStopped,
)
from assistant.procedure.models import InspectionStep
from assistant.report import readings, tightenings, tools
from assistant.report.gathering import Gathering
from assistant.report.model import (
    AcknowledgedLine,
    ChosenLine,
    ConditionLine,
    DispositionLine,
    IdentifiedLine,
    InspectionLine,
    ManualLine,
    MomentLine,
    NoteLine,
    PictureLine,
    RevisionLine,
    Visit,
    WaitLine,
)


def put_fact(g: Gathering, fact: AnyFact) -> None:
    """Put one fact into the record."""
    record, at = g.record, g.at
    match fact:
        case ManualChecked(spoken=spoken, expected=expected, matches=matches):
            record.manual.append(
                ManualLine(at=at, spoken=spoken, expected=expected, matches=matches)
            )
        case ConditionChosen(what=what, value=value):
            record.conditions.append(ConditionLine(at=at, what=what, value=value))
        case StepOpened() | StepDone() | StepReopened():
            _put_step(g, fact)
        case Acknowledged(step=step, what=words):
            record.acknowledged.append(AcknowledgedLine(at=at, step=step, what=words))
        case ReadingOffered():
            readings.offered(g, fact)
        case ReadingConfirmed():
            readings.confirmed(g, fact)
        case ReadingSuperseded():
            readings.superseded(g, fact)
            _withdraw(g, fact.step, fact.position)
        case ValueDerived():
            readings.derived(g, fact)
        case ShimsChosen():
            readings.shimmed(g, fact)
        case ToolChecked(name=name, calibration_due=due, findings=findings):
            tools.checked(g, fact)
            told = " ".join(findings) or "fit for the step"
            until = f"calibrated until {due}; " if due else ""
            record.moments.append(MomentLine(at=at, what=f"checked {name}", detail=until + told))
        case TorqueAnnounced():
            tightenings.announced(g, fact)
        case FastenerTightened():
            tightenings.tightened(g, fact)
        case FastenerReopened():
            tightenings.reopened(g, fact)
        case Identified(step=step, part=part, what=kind, text=text):
            record.identified.append(
                IdentifiedLine(at=at, step=step, part=part, what=kind, text=text, clip=g.clip)
            )
            g.stands(record.identified[-1])
        case Chosen(step=step, option=option):
            record.chosen.append(ChosenLine(at=at, step=step, option=option))
            g.stands(record.chosen[-1])
        case WaitStarted(step=step, started=started, until=until):
            record.waits.append(WaitLine(step=step, started=started, until=until))
        case WaitOver(step=step):
            for wait in record.waits:
                if wait.step == step and wait.over_at is None:
                    wait.over_at = at
        case Inspected():
            _put_inspection(g, fact)
        case DispositionRecorded():
            _put_disposition(g, fact)
        case DispositionDropped():
            _drop_disposition(g, fact)
        case NoteTaken(step=place, text=text, clip=clip):
            record.notes.append(
                NoteLine(at=at, step=place, text=text, clip=clip, seconds=fact.seconds)
            )
        case NoteTakenBack():
            _take_back(record.notes, at)
        case PictureAttached():
            record.pictures.append(PictureLine(at=at, **fact.model_dump(exclude={"kind"})))
        case PictureTakenBack(file=file):
            _take_back([p for p in record.pictures if p.file == file], at)
        case RevisionNoticed():
            record.revisions.append(
                RevisionLine(
                    at=at,
                    revision=fact.revision,
                    sha256=fact.sha256,
                    done=list(fact.done),
                    ahead=list(fact.ahead),
                    removed=list(fact.removed),
                    added=list(fact.added),
                )
            )
        case ListeningPaused(paused=paused):
            words = "listening paused" if paused else "listening again"
            record.moments.append(MomentLine(at=at, what=words))
        case WorkStopped():
            record.moments.append(MomentLine(at=at, what="stopped"))
        case WorkFinished():
            record.finished_at = at
            record.moments.append(MomentLine(at=at, what="finished"))
        case _:
            assert_never(fact)


def finish(g: Gathering) -> None:
    """What can only be said once all is read."""
    for line in g.record.steps:
        line.seconds = sum(_seconds(v, g.record.last_at) for v in line.visits)
    for part in g.record.parts:
        part.numbers = [
            f"{i.what.replace('_', ' ')} {i.text}"
            for i in g.record.identified
            if i.part == part.id and i.superseded_at is None
        ]
    g.record.dispositions.sort(
        key=lambda d: ("open", "released", "refused", "withdrawn").index(d.state)
    )


def _put_step(g: Gathering, fact: StepOpened | StepDone | StepReopened) -> None:
    match fact:
        case StepOpened(step=step, title=title):
            line = g.line(step, title)
            if not line.visits or line.visits[-1].closed_at is not None:
                line.visits.append(Visit(opened_at=g.at))
            line.outcome = "open"
        case StepDone(step=step, how=how, reason=reason):
            line = g.line(step)
            line.outcome, line.reason, line.part_way = how, reason, fact.part_way
            if line.visits and line.visits[-1].closed_at is None:
                visit = line.visits[-1]
                visit.closed_at, visit.how, visit.reason = g.at, how, reason
        case StepReopened(step=step):
            line = g.line(step)
            line.outcome, line.reason, line.part_way = "pending", "", False
            if line.visits and line.visits[-1].closed_at is None:
                line.visits[-1].closed_at, line.visits[-1].how = g.at, "left"
            _void_step(g, step)
        case _:
            assert_never(fact)


def _void_step(g: Gathering, step: str) -> None:
    readings.step_reopened(g, step)
    tightenings.step_reopened(g, step)
    for line in g.standing.pop(step, []):
        line.superseded_at = g.at
    _withdraw(g, step, None)


def _withdraw(g: Gathering, step: str, position: str | None) -> None:
    """Decisions on a position, or on all of a step, no longer stand."""
    decided = g.decided.get(step, [])
    for line in decided:
        if position in (None, line.position):
            line.state = "withdrawn"
    g.decided[step] = [line for line in decided if line.state != "withdrawn"]


def _take_back(lines: Sequence[NoteLine] | Sequence[PictureLine], at: str) -> None:
    """The last of ``lines`` that counts no longer does."""
    standing = [line for line in lines if line.taken_back_at is None]
    if standing:
        standing[-1].taken_back_at = at


def _drop_disposition(g: Gathering, fact: DispositionDropped) -> None:
    decided = g.decided.get(fact.step, [])
    for line in decided:
        if (line.position, line.state) == (fact.position, "open"):
            if fact.how == "refused":
                line.state, line.refused_by, line.refused_at = "refused", fact.person, g.at
            else:
                line.state = "withdrawn"
    g.decided[fact.step] = [line for line in decided if line.state in ("open", "released")]


def _put_inspection(g: Gathering, fact: Inspected) -> None:
    step = g.step(fact.step, InspectionStep)
    g.record.inspections.append(
        InspectionLine(
            at=g.at,
            step=fact.step,
            criteria="" if step is None else step.criteria,
            person=fact.person,
            accepted=fact.accepted,
            clip=g.clip,
        )
    )
    g.stands(g.record.inspections[-1])


def _put_disposition(g: Gathering, fact: DispositionRecorded) -> None:
    decided = g.decided.setdefault(fact.step, [])
    waiting = [d for d in decided if d.position == fact.position and d.state == "open"]
    if fact.released_by is not None and waiting:
        line = waiting[-1]
        line.state, line.released_by, line.released_at = "released", fact.released_by, g.at
        return
    for line in waiting:  # decided anew: the earlier decision no longer stands
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


def _seconds(visit: Visit, last_at: str) -> float:
    end = datetime.fromisoformat(visit.closed_at or last_at)
    return (end - datetime.fromisoformat(visit.opened_at)).total_seconds()
