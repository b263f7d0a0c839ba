"""The sounds and pictures that a record names: whether their files are what they were."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from pydantic import ValidationError

from assistant.dialogue.picture_file import PictureFile
from assistant.journal.clips import ClipStore
from assistant.journal.pictures import PictureStore
from assistant.journal.types import Entry, JournalError


@dataclass(frozen=True)
class EvidenceFindings:
    """``faults``: a sentence for each file that was altered, or picture that is missing.

    ``sounds_away``: how many sounds are somewhere else; those of finished jobs may be archived.
    """

    faults: tuple[str, ...]
    sounds_away: int


def look_at(entries: Iterable[Entry], clips: ClipStore, pictures: PictureStore) -> EvidenceFindings:
    """Look at every file that ``entries`` name, each once."""
    faults: list[str] = []
    heard: set[str] = set()
    away = 0
    for entry in entries:
        if entry.clip is not None and entry.clip not in heard:
            heard.add(entry.clip)
            found = clips.look(entry.clip)
            if found == "altered":
                where = clips.path(entry.clip)
                faults.append(f"The sound of entry {entry.seq} has been altered: {where}.")
            away += found == "missing"
        if entry.kind == "fact" and entry.body.get("kind") == "picture_attached":
            faults += _picture(entry, pictures)
    return EvidenceFindings(tuple(faults), away)


def _picture(entry: Entry, pictures: PictureStore) -> Iterator[str]:
    try:
        taken = PictureFile.model_validate(entry.body)
        where = pictures.path(taken.file, taken.media)
    except (ValidationError, JournalError):
        yield f"Entry {entry.seq} of {entry.session} names no picture that this store could keep."
        return
    found = pictures.look(taken.file, taken.media)
    if found != "intact":
        what = "has been altered" if found == "altered" else "is missing"
        yield f"Picture {taken.name} of {entry.session} {what}: {where}."
