"""Files that are written whole or not at all: a reader sees the one before or the new one."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO


@contextmanager
def new_file(path: Path) -> Iterator[BinaryIO]:
    """A new file to write and read, which becomes ``path`` at the end.

    It is written under a name of its own beside ``path``, then renamed.

    Raises:
        OSError: it cannot be written; what was at ``path`` is as it was, nothing else is left.
    """
    # Sessions and threads may write the same file at once, each under its own name.
    part = path.with_name(f".{path.name}.{os.getpid()}.{threading.get_ident()}.part")
    try:
        with part.open("w+b") as file:
            yield file
        part.replace(path)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def write_whole(path: Path, content: bytes) -> None:
    """Write ``content`` to ``path``, and make its folder where there is none.

    A power cut may still lose it; :mod:`assistant.journal.durable` writes what it must not.

    Raises:
        OSError: it cannot be written; what was at ``path`` is as it was, nothing else is left.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    with new_file(path) as file:
        file.write(content)
