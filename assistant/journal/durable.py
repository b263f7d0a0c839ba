"""A file that a power cut leaves whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path


def write_durably(path: Path, content: bytes) -> None:
    """Write ``content`` to ``path``; returns when it is on disk.

    Raises:
        OSError: it cannot be written; nothing is left behind.
    """
    # Written aside, flushed, then renamed: a power cut leaves the whole clip or none.
    aside = path.with_suffix(f".{os.getpid()}.part")
    try:
        with aside.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        aside.rename(path)
    except OSError:
        aside.unlink(missing_ok=True)
        raise
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
