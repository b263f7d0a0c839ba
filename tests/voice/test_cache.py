"""Spoken lines on disk: whole or not at all, bounded, and named by all that makes their sound."""

from __future__ import annotations

import os
from itertools import combinations
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Thread

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from assistant.voice.spoken_cache import Spoken, SpokenCache, key_of


def line(length: int = 400, value: int = 7) -> Spoken:
    return Spoken(np.full(length, value, np.int16), 22050)


def same(one: Spoken | None, other: Spoken) -> bool:
    return one is not None and one.rate == other.rate and np.array_equal(one.samples, other.samples)


@given(
    st.binary(min_size=0, max_size=600).map(lambda b: b[: len(b) // 2 * 2]), st.integers(1, 96000)
)
def test_what_was_kept_comes_back(content: bytes, rate: int) -> None:
    with TemporaryDirectory() as folder:
        cache = SpokenCache(Path(folder))
        spoken = Spoken(np.frombuffer(content, "<i2").astype(np.int16), rate)
        assert cache.put("a", spoken)
        assert same(cache.get("a"), spoken)


@given(st.data())
def test_a_broken_file_is_never_spoken(data: st.DataObject) -> None:
    """Cut anywhere, or any bit turned: as a full disk or a pulled plug may leave it."""
    with TemporaryDirectory() as folder:
        cache = SpokenCache(Path(folder))
        cache.put("a", line(40))
        (path,) = Path(folder).iterdir()
        content = bytearray(path.read_bytes())
        if data.draw(st.booleans()):
            content = content[: data.draw(st.integers(0, len(content) - 1))]
        else:
            at = data.draw(st.integers(0, len(content) - 1))
            content[at] ^= 1 << data.draw(st.integers(0, 7))
        path.write_bytes(content)
        assert cache.get("a") is None
        assert not cache.holds("a")  # dropped, so that it is made again
        cache.put("a", line(40))
        assert same(cache.get("a"), line(40))


def test_the_lines_longest_unused_go_first(tmp_path: Path) -> None:
    size = 2 * 400 + 36
    cache = SpokenCache(tmp_path, most_bytes=3 * size)
    for number, key in enumerate(("a", "b", "c")):
        cache.put(key, line())
        os.utime(tmp_path / f"{key}.spoken", (1000 + number, 1000 + number))
    assert cache.get("a") is not None  # used just now
    cache.put("d", line())
    assert [key for key in "abcd" if cache.holds(key)] == ["a", "c", "d"]
    assert sum(p.stat().st_size for p in tmp_path.iterdir()) <= 3 * size


def test_a_line_larger_than_the_bound_is_kept_alone(tmp_path: Path) -> None:
    cache = SpokenCache(tmp_path, most_bytes=100)
    cache.put("a", line())
    cache.put("b", line())
    assert [p.name for p in tmp_path.iterdir()] == ["b.spoken"]


def test_a_folder_that_cannot_be_written_keeps_nothing_and_stops_nobody(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    cache = SpokenCache(tmp_path / "file")
    assert cache.put("a", line()) is False
    assert cache.get("a") is None


def test_writers_at_once_leave_one_whole_line(tmp_path: Path) -> None:
    cache = SpokenCache(tmp_path)
    writers = [Thread(target=cache.put, args=("a", line(20000, v))) for v in range(8)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    kept = cache.get("a")
    assert kept is not None
    assert len(kept.samples) == 20000
    assert len(set(kept.samples.tolist())) == 1
    assert [p.suffix for p in tmp_path.iterdir()] == [".spoken"]


def test_every_part_of_a_line_makes_another_name() -> None:
    lines = [
        ("espeak-ng 1.51 en-us", 150, "Step done."), ("espeak-ng 1.52 en-us", 150, "Step done."),
        ("espeak-ng 1.51 en-us", 151, "Step done."), ("espeak-ng 1.51 en-us", 150, "Step done"),
        ("espeak-ng 1.51 en-us1", 50, "Step done."), ("espeak-ng 1.51 en-us", 1501, "50Step done."),
    ]  # fmt: skip
    for one, other in combinations(lines, 2):
        assert key_of(*one) != key_of(*other)
