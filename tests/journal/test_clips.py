"""Clips are kept bit for bit, named by their content, and never half written."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

import numpy as np
import pytest
import soundfile

from assistant.journal.clips import ClipSpaceWarning, ClipStore


def tone(seconds: float = 0.2, hertz: float = 440.0) -> np.ndarray:
    """A sine at 16 kHz with the whole range of int16."""
    times = np.arange(int(16_000 * seconds)) / 16_000
    return (32767 * np.sin(2 * np.pi * hertz * times)).astype(np.int16)


def test_what_is_kept_comes_back_bit_for_bit(tmp_path: Path) -> None:
    store = ClipStore(tmp_path / "clips")
    samples = tone()
    samples[:2] = (-32768, 32767)
    clip = store.keep(samples)
    back, rate = soundfile.read(store.path(clip), dtype="int16")
    assert rate == 16_000
    assert np.array_equal(back, samples)
    assert soundfile.info(store.path(clip)).format == "FLAC"
    assert clip == sha256(store.path(clip).read_bytes()).hexdigest()
    assert store.look(clip) == "intact"
    sound = store.sound(clip)
    assert sound is not None
    assert sound.dtype == np.int16
    assert np.array_equal(sound, samples)


def test_the_same_sound_is_kept_once(tmp_path: Path) -> None:
    store = ClipStore(tmp_path)
    assert store.keep(tone()) == store.keep(tone())
    assert store.keep(tone(hertz=450)) != store.keep(tone())
    assert len(list(tmp_path.iterdir())) == 2


def test_a_clip_that_was_changed_or_lost_is_not_intact(tmp_path: Path) -> None:
    store = ClipStore(tmp_path)
    clip = store.keep(tone())
    content = bytearray(store.path(clip).read_bytes())
    content[-1] ^= 1
    store.path(clip).write_bytes(content)
    assert store.look(clip) == "altered"
    assert store.sound(clip) is None
    store.path(clip).unlink()
    assert store.look(clip) == "missing"
    assert store.sound(clip) is None


def test_too_many_clips_are_told_and_none_is_thrown_away(tmp_path: Path) -> None:
    store = ClipStore(tmp_path, bound=1000)
    with pytest.warns(ClipSpaceWarning, match="archive"):
        first = store.keep(tone())
    with pytest.warns(ClipSpaceWarning):
        store.keep(tone(hertz=450))
    assert store.look(first) == "intact"
    assert store.size() == sum(p.stat().st_size for p in tmp_path.iterdir())


def test_a_folder_that_cannot_be_made_is_an_os_error(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(OSError, match="file"):
        ClipStore(tmp_path / "file" / "clips").keep(tone())


def test_a_write_that_fails_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OSError, match="No space"):
        ClipStore(tmp_path).keep(tone())
    assert list(tmp_path.iterdir()) == []
