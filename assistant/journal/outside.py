"""What was put away outside the store, to compare a record with: keys, heads of chains, seals."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from assistant.input_file import read_whole
from assistant.journal.seal import Seal, fingerprint
from assistant.journal.types import JournalError

_MOST_BYTES = 100_000
_HEAD = re.compile(r"\s*(?P<entries>[1-9][0-9]{0,9})\s*:\s*(?P<hash>[0-9a-fA-F]{64})\s*")
_PARTS = re.compile(r"[\s:-]")


@dataclass(frozen=True)
class Head:
    """The hash of a record's entry, written down elsewhere; ``seal`` where it came as one."""

    entries: int
    hash: str
    seal: Seal | None = None


def read_key(text: str) -> str:
    """The fingerprint that ``text`` names: itself, a public key in hexadecimal, or a seal's file.

    Raises:
        JournalError: it is none of these.
    """
    digits = _PARTS.sub("", text).lower()
    if re.fullmatch(r"[0-9a-f]{32}", digits):
        return " ".join(digits[i : i + 4] for i in range(0, 32, 4))
    if re.fullmatch(r"[0-9a-f]{64}", digits):
        return fingerprint(digits)
    return fingerprint(_seal(text, "a fingerprint of 32 digits").public_key)


def read_head(text: str) -> Head:
    """The head that ``text`` names: ``ENTRIES:HASH``, or a seal's file.

    Raises:
        JournalError: it is neither.
    """
    found = _HEAD.fullmatch(text)
    if found is not None:
        return Head(int(found["entries"]), found["hash"].lower())
    seal = _seal(text, "ENTRIES:HASH")
    return Head(seal.entries, seal.last_hash, seal)


def _seal(path: str, else_: str) -> Seal:
    try:
        content = read_whole(Path(path), _MOST_BYTES)
    except (OSError, ValueError) as fault:
        why = getattr(fault, "strerror", None) or "it is not a file name"
        raise JournalError(
            f"{path[:100]!r} is neither {else_} nor the file of a seal ({why})."
        ) from None
    try:
        return Seal.parse(content.decode("utf-8", "replace"))
    except JournalError:
        raise JournalError(f"{path} holds no seal; give {else_} or a seal's file.") from None
