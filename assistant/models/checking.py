"""Digests: a file counts only when it is the very file that the catalogue names."""

from __future__ import annotations

import hashlib
from pathlib import Path

from assistant.models.catalogue import FileFacts
from assistant.models.errors import ModelError


def sha256_of(path: Path) -> str:
    """The SHA-256 of a file in hexadecimal."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def check(path: Path, facts: FileFacts, source: str) -> None:
    """Make sure that ``path`` is the file that ``facts`` describe.

    Raises:
        ModelError: it is another file.
    """
    found = sha256_of(path)
    if found != facts.sha256:
        raise ModelError(
            f"{path.name} from {source} is not the file that was expected (its SHA-256 begins "
            f"{found[:12]}, not {facts.sha256[:12]}); it is not used. Fetch it from another source."
        )


def check_or_drop(path: Path, facts: FileFacts, source: str) -> None:
    """Like :func:`check`, and delete the wrong file, or resuming would never fetch it again."""
    try:
        check(path, facts, source)
    except ModelError:
        path.unlink()
        raise
