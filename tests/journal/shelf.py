"""A small store with everything that a record may have."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from assistant.journal.clips import ClipStore
from assistant.journal.pictures import PictureStore
from assistant.journal.seal import seal_record, signing_key
from assistant.journal.store import SqlJournal
from assistant.journal.types import Draft
from tests.journal.drafts import AT, SESSION, draft, opening
from tests.session.pictures import picture


@dataclass(frozen=True)
class Shelf:
    """A store in a folder of its own, with a sealed record that names a sound and a picture."""

    folder: Path
    clip: Path
    picture: Path

    @property
    def store(self) -> str:
        return str(self.folder / "records.db")

    def arrived_whole(self, there: Path) -> None:
        """The store in the folder ``there`` has all of it."""
        source, target = SqlJournal(self.store), SqlJournal(there / "records.db")
        assert list(target.read(SESSION)) == list(source.read(SESSION))
        assert target.seals(SESSION) == source.seals(SESSION) != []
        assert target.verify(SESSION) is None
        for kind, file in (("clips", self.clip), ("pictures", self.picture)):
            assert (there / kind / file.name).read_bytes() == file.read_bytes()


def shelf_in(tmp_path: Path) -> Shelf:
    """The shelf ``here`` in ``tmp_path``."""
    folder = tmp_path / "here"
    clips, pictures = ClipStore(folder / "clips"), PictureStore(folder / "pictures")
    clip = clips.keep(np.arange(1600, dtype=np.int16))
    content = picture()
    file = pictures.keep(content, "jpeg")
    body = {
        "kind": "picture_attached", "step": None, "name": "KB2_0001.jpg", "file": file,
        "media": "jpeg", "size": len(content), "taken": AT,
    }  # fmt: skip
    heard = Draft("event", AT, draft(1).body, clip, "test")
    journal = SqlJournal(folder / "records.db")
    last = journal.append(SESSION, [opening(), heard, Draft("fact", AT, body)], 0)[-1]
    journal.keep_seal(seal_record(SESSION, last.seq, last.hash, AT, signing_key(tmp_path)))
    journal.close()
    return Shelf(folder, clips.path(clip), pictures.path(file, "jpeg"))
