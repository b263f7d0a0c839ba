"""Files that somebody hands in: read whole, within bounds, and never a device or a pipe."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO


def read_whole(path: Path, most: int) -> bytes:
    """The bytes of the file ``path``, of which there may be ``most``.

    Raises:
        OSError: it cannot be read, is not a file, or is larger; ``strerror`` says which in a few
            words.
        ValueError: there is a NUL in the name.
    """
    with open_plain(path) as file:
        content = file.read(most + 1)
    if len(content) > most:
        raise OSError(errno.EFBIG, f"it is larger than {_size(most)}")
    return content


@contextmanager
def open_plain(path: Path) -> Iterator[BinaryIO]:
    """The file ``path`` to read from.

    Raises:
        OSError: it cannot be read or is not a file (a device gives endless bytes, a pipe waits for
            ever); ``strerror`` says which in a few words.
        ValueError: there is a NUL in the name.
    """
    # Without O_NONBLOCK opening a pipe waits until somebody writes into it.
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    try:
        mode = os.fstat(handle).st_mode
        if not stat.S_ISREG(mode):
            raise OSError(errno.EINVAL, f"it is {_kind(mode)}, not a file")
        with os.fdopen(handle, "rb", closefd=False) as file:
            yield file
    finally:
        os.close(handle)


def _kind(mode: int) -> str:
    return "a folder" if stat.S_ISDIR(mode) else "a device or a pipe"


def _size(most: int) -> str:
    return f"{most // 1_000_000} MB" if most >= 1_000_000 else f"{most // 1000} kB"
