"""Audio evidence: clips as FLAC files named by the hash of their content."""

from __future__ import annotations

import warnings
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import numpy as np
import soundfile
from numpy.typing import NDArray

from assistant.journal.content import ContentState, content_of, look_at, place_of
from assistant.journal.durable import make_folder, write_durably

RATE = 16_000
_MOST_BYTES = 200_000_000  # an hour of mono at 16 kHz takes some 60 MB


class ClipSpaceWarning(UserWarning):
    """The clips take more room than allowed. None is deleted: they are evidence."""


class ClipStore:
    """Keeps mono int16 16 kHz clips in ``folder``.

    A clip's id is the SHA-256 of its FLAC file, so the journal's hash of the entry that names it
    covers the sound too. ``bound`` is the room in bytes; past it every new clip is still kept
    and a warning says so: a program never deletes evidence.
    """

    def __init__(self, folder: Path | str, bound: int = 4_000_000_000) -> None:
        self._folder = Path(folder)
        self._bound = bound
        self._size: int | None = None

    def keep(self, samples: NDArray[np.int16]) -> str:
        """Store ``samples`` durably; returns the clip's id (64 hexadecimal digits).

        Raises:
            OSError: the clip cannot be written.
        """
        buffer = BytesIO()
        soundfile.write(buffer, np.asarray(samples, np.int16), RATE, "PCM_16", format="FLAC")
        content = buffer.getvalue()
        clip = sha256(content).hexdigest()
        path = self.path(clip)
        if not path.exists():
            make_folder(self._folder)
            before = self.size()
            write_durably(path, content)
            self._size = before + len(content)
            if self._size > self._bound:
                warnings.warn(
                    f"The sound clips in {self._folder} take {self._size // 1_000_000} MB; move "
                    "those of finished jobs to an archive.",
                    ClipSpaceWarning,
                    stacklevel=2,
                )
        return clip

    def path(self, clip: str) -> Path:
        """The path of the clip called ``clip``, whether or not it is there.

        Raises:
            JournalError: ``clip`` is not an id of a clip.
        """
        return place_of(self._folder, clip, "flac")

    def sound(self, clip: str) -> NDArray[np.int16] | None:
        """The samples of a clip; None where it is missing or not as it was made."""
        content = content_of(self._folder, clip, "flac", _MOST_BYTES)
        if content is None:
            return None
        samples: NDArray[np.int16] = soundfile.read(BytesIO(content), dtype="int16")[0]
        return samples

    def look(self, clip: str) -> ContentState:
        """Whether the clip is there and its content still has the hash that names it."""
        return look_at(self._folder, clip, "flac", _MOST_BYTES)

    def size(self) -> int:
        """Bytes taken by all clips."""
        if self._size is None:
            self._size = sum(path.stat().st_size for path in self._folder.glob("*.flac"))
        return self._size
