"""Spoken lines kept on disk, so that a line said once is there at once the next time."""

from __future__ import annotations

import hashlib
import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from assistant.folders import user_cache
from assistant.output_file import write_whole
from assistant.speech.types import Samples

_RECIPE = 1  # raise when the same key would have to sound different
_SUFFIX = ".spoken"
_DIGEST = 32
_RATE = 4
MOST_BYTES = 64 * 1024 * 1024
"""About 25 minutes of speech at 22 050 samples a second."""


@dataclass(frozen=True)
class Spoken:
    """A spoken line: mono int16 ``samples``, ``rate`` of them a second."""

    samples: Samples
    rate: int


def cache_folder() -> Path:
    """Where spoken lines are kept, in the user's cache; safe to delete."""
    return user_cache("voice")


def key_of(identity: str, words_per_minute: int, prepared: str) -> str:
    """The name of a line: all that makes it sound as it does, as one SHA-256 digest."""
    parts = (str(_RECIPE), identity, str(words_per_minute), prepared)
    # Each part with its length before it, so that no two different lines run into one.
    whole = "".join(f"{len(part)}:{part}" for part in parts)
    return hashlib.sha256(whole.encode("utf-8", "surrogatepass")).hexdigest()


class SpokenCache:
    """Lines in ``folder``, at most ``most_bytes`` of them; the ones longest unused go first.

    A file carries the digest of its content. One that does not match it (a full disk, a pulled
    plug) is dropped and made again: half a torque must never be spoken. A folder that cannot be
    written to keeps nothing, and nothing is lost but time.
    """

    def __init__(self, folder: Path | None = None, most_bytes: int = MOST_BYTES) -> None:
        self._folder = folder or cache_folder()
        self._most = most_bytes

    def get(self, key: str) -> Spoken | None:
        """The line kept under ``key``; None when there is none, or its file is broken."""
        path = self._path(key)
        try:
            content = path.read_bytes()
        except OSError:
            return None
        found = _unpacked(content)
        with suppress(OSError):  # a read-only cache still gives what it has
            if found is not None:
                os.utime(path)
            else:
                path.unlink()
        return found

    def put(self, key: str, spoken: Spoken) -> bool:
        """Keep a line; False when it cannot be kept."""
        path = self._path(key)
        try:
            write_whole(path, _packed(spoken))
        except OSError:
            return False
        self._trim(path)
        return True

    def holds(self, key: str) -> bool:
        """Whether a line is kept under ``key``."""
        return self._path(key).is_file()

    def _path(self, key: str) -> Path:
        return self._folder / f"{key}{_SUFFIX}"

    def _trim(self, newest: Path) -> None:
        """Drop the lines longest unused until the rest fit; the newest stays."""
        kept: list[tuple[float, int, Path]] = []
        for path in self._folder.glob(f"*{_SUFFIX}"):
            try:
                found = path.stat()
            except OSError:
                continue  # another session dropped it
            kept.append((found.st_mtime, found.st_size, path))
        held = sum(size for _, size, _ in kept)
        for _, size, path in sorted(kept):
            if held <= self._most:
                return
            if path != newest:
                path.unlink(missing_ok=True)
                held -= size


def _packed(spoken: Spoken) -> bytes:
    body = spoken.rate.to_bytes(_RATE, "little") + spoken.samples.astype("<i2").tobytes()
    return hashlib.sha256(body).digest() + body


def _unpacked(content: bytes) -> Spoken | None:
    digest, body = content[:_DIGEST], content[_DIGEST:]
    if hashlib.sha256(body).digest() != digest or len(body) < _RATE:
        return None
    samples = np.frombuffer(body[_RATE:], "<i2").astype(np.int16)
    return Spoken(samples, int.from_bytes(body[:_RATE], "little"))
