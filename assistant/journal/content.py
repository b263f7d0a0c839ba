"""Files that are named by what they hold: the name is a SHA-256 and nothing else.

A name comes from the journal, which may be a foreign one: ``../../../etc/passwd`` names no file
here. What is read is compared with its name each time, so that nothing altered is ever shown.
"""

from __future__ import annotations

import re
from hashlib import sha256
from pathlib import Path
from typing import Literal

from assistant.input_file import read_whole
from assistant.journal.types import JournalError

ContentState = Literal["intact", "altered", "missing"]

_NAME = re.compile(r"[0-9a-f]{64}")


def place_of(folder: Path, name: str, ending: str) -> Path:
    """The path of the content called ``name`` in ``folder``, whether or not it is there.

    Raises:
        JournalError: the name is not a SHA-256.
    """
    if _NAME.fullmatch(name) is None:
        raise JournalError(
            f"{name[:40]!r} names no sound or picture of this store; verify the record."
        )
    return folder / f"{name}.{ending}"


def content_of(folder: Path, name: str, ending: str, most: int) -> bytes | None:
    """The content called ``name``; None where it is missing or is not what its name says."""
    try:
        content = read_whole(place_of(folder, name, ending), most)
    except (OSError, JournalError):
        return None
    return content if sha256(content).hexdigest() == name else None


def look_at(folder: Path, name: str, ending: str, most: int) -> ContentState:
    """Whether the content called ``name`` is there and is what its name says."""
    try:
        if not place_of(folder, name, ending).exists():
            return "missing"
    except JournalError:
        return "missing"  # no file of ours was ever called that
    return "altered" if content_of(folder, name, ending, most) is None else "intact"
