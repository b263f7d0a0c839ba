"""Puts each fact in its place in the record: a kind's own through its kind, the others here."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import assert_never, cast

from assistant.dialogue.facts import (
    Acknowledged,
    Adjusted,
    ConditionChosen,
    DispositionDropped,
    DispositionRecorded,
    Fact,
    ListeningPaused,
    ManualChecked,
    NoteTaken,
    NoteTakenBack,
    PictureAttached,
    PictureTakenBack,
    RevisionNoticed,
    SharedFact,
    StepDone,
    StepOpened,
    StepReopened,
    TalkChanged,
    ToolChecked,
    WorkFinished,
    WorkStopped,
)
from assistant.language.english import in_english
from assistant.report import dispositions, tools
from assistant.report.gathering import Gathering
from assistant.report.kinds import KINDS, recording
from assistant.report.lines.job import (
    ConditionLine,
    ManualLine,
    MomentLine,
    NoteLine,
    PictureLine,
    RevisionLine,
)
from assistant.report.lines.reading import AdjustmentLine
from assistant.report.lines.step import AcknowledgedLine, Visit
from assistant.shown_text import id_in_words


def put_fact(g: Gathering, fact: Fact) -> None:
    """Put one fact into the record."""
    kind = recording(fact)
    if kind is not None:
        kind.put(g, fact)
    else:
        _put_shared(g, cast(SharedFact, fact))


def _put_shared(g: Gathering, fact: SharedFact) -> None:
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
        case Adjusted():
            record.adjustments.append(_adjustment(g, fact))
        case Acknowledged(step=step, what=words):
            record.acknowledged.append(AcknowledgedLine(at=at, step=step, what=words))
        case ToolChecked(name=name, calibration_due=due, findings=findings):
            tools.checked(g, fact)
            told = " ".join(map(in_english, findings)) or "fit for the step"
            until = f"calibrated until {due}; " if due else ""
            record.moments.append(MomentLine(at=at, what=f"checked {name}", detail=until + told))
        case DispositionRecorded():
            dispositions.recorded(g, fact)
        case DispositionDropped():
            dispositions.dropped(g, fact)
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
        case TalkChanged(talk=talk):
            record.moments.append(MomentLine(at=at, what="length of speech", detail=talk))
        case WorkStopped():
            record.moments.append(MomentLine(at=at, what="stopped"))
        case WorkFinished():
            record.finished_at = at
            record.moments.append(MomentLine(at=at, what="finished"))
        case _:
            assert_never(fact)


def _adjustment(g: Gathering, fact: Adjusted) -> AdjustmentLine:
    return AdjustmentLine(
        at=g.at,
        step=fact.step,
        position=fact.position,
        number=fact.number,
        side=fact.side,
        what=fact.what,
        back_to=fact.back_to,
        found=fact.found,
        clip=g.clip,
    )


def finish(g: Gathering) -> None:
    """What can only be said once all is read."""
    for line in g.record.steps:
        line.seconds = sum(_seconds(v, g.record.last_at) for v in line.visits)
    for part in g.record.parts:
        part.numbers = [
            f"{id_in_words(i.what)} {i.text}"
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
            if how == "skipped":
                for kind in KINDS:
                    if line.kind == kind.kind:
                        kind.skipped(g, step)
        case StepReopened(step=step):
            line = g.line(step)
            line.outcome, line.reason, line.part_way = "pending", "", False
            if line.visits and line.visits[-1].closed_at is None:
                line.visits[-1].closed_at, line.visits[-1].how = g.at, "left"
            _void_step(g, fact)
        case _:
            assert_never(fact)


def _void_step(g: Gathering, fact: StepReopened) -> None:
    step = fact.step
    known = g.line(step).kind  # empty where the procedure could not be read
    for kind in KINDS:
        if known in ("", kind.kind):
            kind.reopened(g, step, fact.why)
    for line in g.standing.pop(step, []):
        line.superseded_at = g.at
    dispositions.withdraw(g, step, None)


def _take_back(lines: Sequence[NoteLine] | Sequence[PictureLine], at: str) -> None:
    """The last of ``lines`` that counts no longer does."""
    standing = [line for line in lines if line.taken_back_at is None]
    if standing:
        standing[-1].taken_back_at = at


def _seconds(visit: Visit, last_at: str) -> float:
    end = datetime.fromisoformat(visit.closed_at or last_at)
    return (end - datetime.fromisoformat(visit.opened_at)).total_seconds()
