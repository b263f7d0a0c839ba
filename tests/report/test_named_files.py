"""The files that a record names are read again when it is verified."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from assistant.journal.clips import ClipStore
from assistant.journal.pictures import PictureStore
from assistant.journal.types import Entry
from assistant.report.evidence import look_at


def heard(clip: str, seq: int) -> Entry:
    return Entry("event", "2026-01-05T08:00:00+00:00", {}, clip, session="s", seq=seq)


def test_an_altered_sound_is_a_fault_and_one_that_was_archived_is_told(tmp_path: Path) -> None:
    clips, pictures = ClipStore(tmp_path / "clips"), PictureStore(tmp_path / "pictures")
    ids = [clips.keep(np.full(1600, level, np.int16)) for level in (1, 2, 3)]
    entries = [heard(clip, seq) for seq, clip in enumerate((*ids, ids[0]), 1)]
    found = look_at(entries, clips, pictures)
    assert (found.faults, found.sounds_away) == ((), 0)
    whole = clips.path(ids[1]).read_bytes()
    clips.path(ids[1]).write_bytes(whole[:-1] + bytes([whole[-1] ^ 1]))
    clips.path(ids[2]).unlink()
    found = look_at(entries, clips, pictures)
    (fault,) = found.faults
    assert fault.startswith("The sound of entry 2 has been altered")
    assert found.sounds_away == 1


def test_a_picture_of_a_later_form_of_the_record_is_looked_at_all_the_same(tmp_path: Path) -> None:
    clips, pictures = ClipStore(tmp_path / "clips"), PictureStore(tmp_path / "pictures")
    body = {
        "kind": "picture_attached", "step": None, "name": "KB2_0001.jpg", "file": "0" * 64,
        "media": "jpeg", "size": 1, "taken": "2026-01-05T08:00:00+00:00", "camera": "KB Lens",
    }  # fmt: skip
    entry = Entry("fact", "2026-01-05T08:00:00+00:00", body, session="s", seq=1)
    (fault,) = look_at([entry], clips, pictures).faults
    assert fault.startswith("Picture KB2_0001.jpg of s is missing")
