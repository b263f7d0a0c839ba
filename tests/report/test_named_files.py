"""The files that a record names are read again when it is verified."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from assistant.journal.clips import ClipStore
from assistant.journal.pictures import PictureStore
from assistant.journal.types import Entry, JournalError
from assistant.report.evidence import look_at
from tests.session.pictures import picture


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


@pytest.mark.parametrize(
    "name", ["../secret", "../../secret", "/etc/passwd", "", "0" * 63, "A" * 64, "0" * 64 + "/x"]
)
def test_a_name_that_is_no_hash_reaches_no_file(name: str, tmp_path: Path) -> None:
    """The journal may be a foreign one; names are SHA-256 in small hexadecimal and nothing else."""
    clips, pictures = ClipStore(tmp_path / "a" / "clips"), PictureStore(tmp_path / "a" / "pictures")
    (tmp_path / "a" / "pictures").mkdir(parents=True)
    for ending in ("jpg", "flac"):
        (tmp_path / "a" / f"secret.{ending}").write_bytes(picture())
        (tmp_path / f"secret.{ending}").write_bytes(picture())
    assert pictures.content(name, "jpeg") is None
    assert pictures.look(name, "jpeg") == clips.look(name) == "missing"
    with pytest.raises(JournalError, match="names no sound or picture"):
        pictures.path(name, "jpeg")
    with pytest.raises(JournalError, match="names no sound or picture"):
        clips.path(name)
    body = {"kind": "picture_attached", "file": name, "media": "jpeg", "name": "x", "step": None,
            "size": 1, "taken": "2026-01-05T08:00:00+00:00"}  # fmt: skip
    entry = Entry("fact", "2026-01-05T08:00:00+00:00", body, session="s", seq=4)
    (fault,) = look_at([entry], clips, pictures).faults
    assert fault == "Entry 4 of s names no picture that this store could keep."


def test_a_picture_is_read_only_as_it_was_kept(tmp_path: Path) -> None:
    pictures = PictureStore(tmp_path)
    name = pictures.keep(picture(), "jpeg")
    assert pictures.content(name, "jpeg") == picture()
    pictures.path(name, "jpeg").write_bytes(picture(seed=2))
    assert pictures.content(name, "jpeg") is None
    assert pictures.look(name, "jpeg") == "altered"
