"""Files and folders that a power cut leaves whole or not at all."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from assistant.output_file import new_file


def write_durably(path: Path, content: bytes) -> None:
    """Write ``content`` to ``path``; returns when it is on disk.

    Raises:
        OSError: it cannot be written; nothing is left behind.
    """
    with durable_file(path) as file:
        file.write(content)


@contextmanager
def durable_file(path: Path) -> Iterator[BinaryIO]:
    """A new file to write and read, which becomes ``path`` at the end; then it is on disk.

    Raises:
        OSError: it cannot be written; nothing is left behind.
    """
    # On disk before it has its name: a power cut leaves the whole file or none.
    with new_file(path) as file:
        yield file
        file.flush()
        os.fsync(file.fileno())
    flush_folder(path.parent)


def make_folder(folder: Path) -> None:
    """Make ``folder`` and those above it that are missing; their names are on disk on return.

    Raises:
        OSError: one of them cannot be made.
    """
    missing = [f for f in (folder, *folder.parents) if not f.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    for made in missing:
        flush_folder(made.parent)


def flush_folder(folder: Path) -> None:
    """Have the names in ``folder`` on disk.

    Windows opens no folder as a file; its file system writes names in its own log.
    """
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
