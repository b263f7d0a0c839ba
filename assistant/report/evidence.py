"""The sounds and pictures that a record names: whether their files are what they were."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from assistant.dialogue.picture_file import PictureFile
from assistant.journal.clips import ClipStore
from assistant.journal.pictures import PictureStore
from assistant.journal.types import Entry


@dataclass(frozen=True)
class Evidence:
    """``faults``: a sentence for each file that was altered, or picture that is missing.

    ``sounds_away``: how many sounds lie somewhere else; those of finished jobs may be archived.
    """

    faults: tuple[str, ...]
    sounds_away: int


def look_at(entries: Iterable[Entry], clips: ClipStore, pictures: PictureStore) -> Evidence:
    """Look at every file that ``entries`` name, each once."""
    faults: list[str] = []
    heard: set[str] = set()
    away = 0
    for entry in entries:
        if entry.clip is not None and entry.clip not in heard:
            heard.add(entry.clip)
            if not clips.path(entry.clip).exists():
                away += 1
            elif not clips.intact(entry.clip):
                where = clips.path(entry.clip)
                faults.append(f"The sound of entry {entry.seq} has been altered: {where}.")
        if entry.kind == "fact" and entry.body.get("kind") == "picture_attached":
            taken = PictureFile.model_validate(entry.body)
            where = pictures.path(taken.file, taken.media)
            if not pictures.intact(taken.file, taken.media):
                what = "has been altered" if where.exists() else "is missing"
                faults.append(f"Picture {taken.name} of {entry.session} {what}: {where}.")
    return Evidence(tuple(faults), away)
