"""Reads a session's entries into a build record. Pure: no clock, no disk."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from pydantic import TypeAdapter, ValidationError

from assistant.dialogue.events import SpeechCut
from assistant.dialogue.interrupting import WEIGHTY
from assistant.dialogue.kinds import AnyFact
from assistant.journal.types import Entry, JournalError
from assistant.report.gathering import Gathering
from assistant.report.headings import open_record
from assistant.report.lines.job import MomentLine, UnreadLine
from assistant.report.model import BuildRecord
from assistant.report.sorting import finish, put_fact
from assistant.report.tools import inventory

_FACTS: TypeAdapter[AnyFact] = TypeAdapter(AnyFact)

_HAPPENED = {"moved": "changed", "overrun": "lost some sound", "clipped": "was too loud"}


def build_record(entries: Iterable[Entry]) -> BuildRecord:
    """The record that ``entries`` (one session, in order) amount to.

    A fact that this version cannot read is not dropped: it is listed in ``unread``.
    """
    gathering = Gathering(BuildRecord())
    record = gathering.record
    entry: Entry | None = None
    before: Entry | None = None
    for entry in entries:
        if before is None:
            record.session, record.opened_at = entry.session, entry.at
        elif entry.at != before.at and instant(entry) < instant(before):
            record.clock_set_back_at.append(entry.seq)
        before = entry
        if entry.kind == "event":
            gathering.event = entry
            _put_event(gathering, entry)
        elif entry.kind == "fact":
            try:
                fact = _FACTS.validate_python(entry.body)
            except ValidationError:
                kind = str(entry.body.get("kind", ""))
                record.unread.append(UnreadLine(seq=entry.seq, kind=kind))
                continue
            put_fact(gathering, fact)
        elif entry.kind == "said":
            _put_said(gathering, entry)
    if entry is not None:
        instant(entry)
        record.entries, record.last_hash, record.last_at = entry.seq, entry.hash, entry.at
    finish(gathering)
    return record


def instant(entry: Entry) -> datetime:
    """The instant that an entry was made, as its ISO 8601 text with offset names it.

    Raises:
        JournalError: it names none, so the entry is not as it was written.
    """
    try:
        found = datetime.fromisoformat(entry.at)
    except ValueError:
        found = None
    if found is None or found.tzinfo is None:
        raise JournalError(
            f"Entry {entry.seq} of {entry.session} has no time that can be read; verify the record."
        )
    return found


def _put_event(gathering: Gathering, entry: Entry) -> None:
    record = gathering.record
    match entry.body.get("kind"):
        case "opened":
            gathering.procedure = open_record(record, entry.body)
            inventory(record, entry.body, gathering.procedure)
        case "resumed":
            inventory(record, entry.body, gathering.procedure)
            record.moments.append(MomentLine(at=entry.at, what="resumed"))
        case "equipment_changed":
            works = "works again" if entry.body.get("working") else "failed"
            works = _HAPPENED.get(str(entry.body.get("what")), works)
            record.moments.append(
                MomentLine(
                    at=entry.at,
                    what=f"{entry.body.get('part', 'equipment')} {works}",
                    detail=str(entry.body.get("detail", "")),
                )
            )
        case "speech_cut":
            _put_cut(gathering, entry)


def _put_cut(gathering: Gathering, entry: Entry) -> None:
    """Cautions, torques and readbacks that the builder cut short; other lines may be."""
    try:
        cut = SpeechCut.model_validate(entry.body)
    except ValidationError:
        gathering.record.unread.append(UnreadLine(seq=entry.seq, kind="speech_cut"))
        return
    for line in cut.unsaid:
        if line.tone in WEIGHTY:
            gathering.cut.add(line.text)
            moment = MomentLine(at=entry.at, what="cut short", detail=line.text)
            gathering.record.moments.append(moment)


def _put_said(gathering: Gathering, entry: Entry) -> None:
    text = str(entry.body.get("text", ""))
    if text in gathering.cut:
        gathering.cut.remove(text)
        moment = MomentLine(at=entry.at, what="repeated", detail=text)
        gathering.record.moments.append(moment)
