"""What is written whole or not at all: a fault leaves what was there, and nothing beside it."""

from __future__ import annotations

import errno
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import AbstractContextManager
from pathlib import Path
from typing import BinaryIO

import pytest

from assistant.journal.durable import durable_file
from assistant.output_file import new_file, write_whole

Opened = Callable[[Path], AbstractContextManager[BinaryIO]]


def test_a_file_is_written_with_its_folder_and_replaced(tmp_path: Path) -> None:
    path = tmp_path / "cache" / "of" / "file"
    for content in (b"first", b"second, and longer", b""):
        write_whole(path, content)
        assert path.read_bytes() == content
    assert list(path.parent.iterdir()) == [path]


@pytest.mark.parametrize("opened", [new_file, durable_file])
@pytest.mark.parametrize("before", [b"as it was", None])
@pytest.mark.parametrize("fault", [OSError(errno.ENOSPC, "full"), KeyboardInterrupt()])
def test_a_fault_half_way_leaves_what_was_there(
    tmp_path: Path, opened: Opened, before: bytes | None, fault: BaseException
) -> None:
    path = tmp_path / "file"
    if before is not None:
        path.write_bytes(before)
    there = list(tmp_path.iterdir())

    def write_half() -> None:
        with opened(path) as file:
            file.write(b"half")
            raise fault

    with pytest.raises(type(fault)):
        write_half()
    assert list(tmp_path.iterdir()) == there
    assert before is None or path.read_bytes() == before


def test_what_cannot_be_renamed_leaves_nothing(tmp_path: Path) -> None:
    path = tmp_path / "in the way"
    path.mkdir()
    (path / "file").touch()
    with pytest.raises(OSError, match="in the way"):
        write_whole(path, b"content")
    assert list(tmp_path.iterdir()) == [path]


def test_a_folder_that_is_a_file_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "folder").write_bytes(b"")
    with pytest.raises(OSError, match="folder"):
        write_whole(tmp_path / "folder" / "file", b"content")


def test_threads_that_write_the_same_file_leave_one_of_theirs(tmp_path: Path) -> None:
    path = tmp_path / "file"
    contents = [bytes([65 + n]) * 100_000 for n in range(8)]
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda content: write_whole(path, content), contents * 4))
    assert path.read_bytes() in contents
    assert list(tmp_path.iterdir()) == [path]
