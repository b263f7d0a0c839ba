"""Copies one session to another store: its entries, sounds, pictures and seals, all checked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from assistant.dialogue.picture_file import PictureFile
from assistant.journal.clips import ClipStore
from assistant.journal.durable import make_folder, write_durably
from assistant.journal.pictures import PictureStore
from assistant.journal.store import SqlJournal
from assistant.journal.types import Entry, JournalError
from assistant.report.evidence import look_at


@dataclass(frozen=True)
class EvidencePlace:
    """Where the files are that entries name."""

    clips: ClipStore
    pictures: PictureStore


@dataclass(frozen=True)
class RecordPlace(EvidencePlace):
    """A store as copying sees it: the journal too."""

    journal: SqlJournal


@dataclass(frozen=True)
class Copied:
    """How many ``entries`` the copy has, and how many of its sounds were not here to copy."""

    entries: int
    sounds_away: int


def copy_session(session: str, source: RecordPlace, target: RecordPlace) -> Copied:
    """Copy ``session``; what is in ``target`` already stays, so doing it twice does no harm.

    Raises:
        ConflictError: ``target`` has another session of that name.
        JournalError: the record or a file of it was altered, here or there; or a store fails.
        OSError: a file cannot be written.
    """
    entries = whole_record(session, source, "is not copied")
    away = look_at(entries, source.clips, source.pictures).sounds_away
    # Files first: an entry whose sound or picture is missing is never seen over there.
    for here, there in files_of(entries, source, target):
        if here.exists() and not there.exists():
            make_folder(there.parent)
            write_durably(there, here.read_bytes())
    target.journal.adopt(entries)
    kept = {seal.entries for seal in target.journal.seals(session)}
    for seal in source.journal.seals(session):
        if seal.entries not in kept:
            target.journal.keep_seal(seal)
    whole_record(session, target, "arrived damaged")
    return Copied(len(entries), away)


def whole_record(session: str, place: RecordPlace, else_it: str) -> list[Entry]:
    """The entries of ``session``, checked with their files and seals.

    Raises:
        JournalError: there is no such session, or something of it was altered; the message says
            that the record ``else_it``.
    """
    bad = place.journal.verify(session)
    if bad is not None:
        raise JournalError(f"{bad.sentence} The record {else_it}.")
    entries = list(place.journal.read(session))
    faults = look_at(entries, place.clips, place.pictures).faults
    if faults:
        raise JournalError(f"{faults[0]} The record {else_it}.")
    return entries


def files_of(
    entries: Sequence[Entry], source: EvidencePlace, target: EvidencePlace
) -> Iterator[tuple[Path, Path]]:
    """Each file that the entries name and that is here: where it is, and where it goes."""
    for entry in entries:
        if entry.clip is not None and source.clips.look(entry.clip) == "intact":
            yield source.clips.path(entry.clip), target.clips.path(entry.clip)
        if entry.kind == "fact" and entry.body.get("kind") == "picture_attached":
            taken = PictureFile.model_validate(entry.body)
            names = (taken.file, taken.media)
            yield source.pictures.path(*names), target.pictures.path(*names)
