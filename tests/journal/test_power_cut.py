"""The power fails at any moment: what was acknowledged is there, and the record is whole."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from tests.journal.power_cut import STORE, Call, Disk, Unflushed, check, record

pytestmark = pytest.mark.skipif(
    shutil.which("strace") is None, reason="install strace: scripts/install_system.sh --tests"
)

HOW: tuple[Unflushed | None, ...] = ("nothing", "all", "some", "some", None, None)


@pytest.fixture(scope="module")
def calls(tmp_path_factory: pytest.TempPathFactory) -> list[Call]:
    return record(tmp_path_factory.mktemp("power") / "writer", appends=12)


def test_the_disk_that_loses_nothing_is_the_folder_itself(
    calls: list[Call], tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = next(tmp_path_factory.getbasetemp().glob("power*/writer"))
    disk = Disk()
    for call in calls:
        disk.do(call)
    image = disk.image("all", Random(1))
    for path in [p for p in folder.rglob("*") if p.is_file() and p.name != "acks"]:
        assert image[str(path.relative_to(folder))] == path.read_bytes()


def test_nothing_acknowledged_is_lost_at_any_moment(calls: list[Call], tmp_path: Path) -> None:
    chance, disk, looked = Random(20260105), Disk(), 0
    for call in calls:
        disk.do(call)
        how = chance.choice(HOW)
        if how is None and call.name != "ack":
            continue
        image = disk.image(how or "nothing", chance)
        check(image, disk.acknowledged, tmp_path / "image")
        looked += 1
    assert looked > 50
    assert disk.acknowledged > 24


def test_a_writer_that_does_not_flush_is_found_out(calls: list[Call], tmp_path: Path) -> None:
    """The same calls with the flushes of the log left out lose what was acknowledged."""
    careless = [c for c in calls if not (c.name == "sync" and c.path == f"{STORE}-wal")]
    lost = 0
    disk = Disk()
    for call in careless:
        disk.do(call)
        if call.name == "ack":
            try:
                check(disk.image("nothing", Random(1)), disk.acknowledged, tmp_path / "image")
            except AssertionError:
                lost += 1
    assert lost > 5


def test_a_sound_whose_folder_was_not_flushed_is_missed(calls: list[Call], tmp_path: Path) -> None:
    careless = [c for c in calls if not (c.name == "sync" and c.path == "clips")]
    disk = Disk()
    for call in careless:
        disk.do(call)
    with pytest.raises(AssertionError):
        check(disk.image("nothing", Random(1)), disk.acknowledged, tmp_path / "image")


def test_a_torn_write_leaves_sectors_whole() -> None:
    old, new = b"a" * 2048, b"b" * 2000
    disk = Disk()
    for call in (
        Call("make", "x"), Call("write", "x", 0, old), Call("sync", "x"), Call("sync", "."),
        Call("write", "x", 24, new),
    ):  # fmt: skip
        disk.do(call)
    seen = {disk.image("some", Random(n))["x"] for n in range(200)}
    assert len(seen) > 5
    for content in seen:
        assert len(content) == 2048
        assert content[:24] == b"a" * 24
        for start in range(0, 2048, 512):
            assert len(set(content[max(start, 24) : min(start + 512, 2024)])) == 1


def test_a_name_is_sure_only_when_its_folder_was_flushed() -> None:
    disk = Disk()
    for call in (
        Call("folder", "d"),
        Call("sync", "."),
        Call("make", "d/x"),
        Call("write", "d/x", 0, b"1"),
        Call("sync", "d/x"),
    ):
        disk.do(call)
    assert disk.image("nothing", Random(1)) == {}
    disk.do(Call("sync", "d"))
    assert disk.image("nothing", Random(1)) == {"d/x": b"1"}
    disk.do(replace(Call("rename", "d/x"), other="d/y"))
    assert disk.image("nothing", Random(1)) == {"d/x": b"1"}
    assert disk.image("all", Random(1)) == {"d/y": b"1"}


def test_what_lies_in_a_folder_whose_own_name_is_not_sure_is_not_sure_either() -> None:
    disk = Disk()
    for call in (
        Call("folder", "d"), Call("make", "d/x"), Call("write", "d/x", 0, b"1"),
        Call("sync", "d/x"), Call("sync", "d"),
    ):  # fmt: skip
        disk.do(call)
    assert disk.image("nothing", Random(1)) == {}
    disk.do(Call("sync", "."))
    assert disk.image("nothing", Random(1)) == {"d/x": b"1"}
