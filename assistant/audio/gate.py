"""Half duplex: the assistant does not listen while it speaks, so it can never hear itself."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock

import numpy as np

from assistant.speech.types import SAMPLE_RATE, Samples


class HalfDuplexGate:
    """Passes microphone blocks on, or drops them while closed and for ``tail_s`` after.

    The tail is counted in captured sound, not by a clock; it covers the room's echo and what the
    sound card still holds. In place of what it drops the gate gives out ``mark_s`` of silence
    once, so that an utterance cut short ends there instead of being joined to what comes later.
    Safe to use from the capture thread and the speaking thread at once.
    """

    def __init__(self, tail_s: float = 0.3, mark_s: float = 1.5) -> None:
        self._tail = int(tail_s * SAMPLE_RATE)
        self._mark = np.zeros(int(mark_s * SAMPLE_RATE), np.int16)
        self._speaking = 0
        self._to_drop = 0
        self._marked = True
        self._lock = Lock()

    def close(self) -> None:
        """The assistant begins to speak."""
        with self._lock:
            if not self._speaking and not self._to_drop:
                self._marked = False
            self._speaking += 1

    def open(self) -> None:
        """The assistant has spoken; passes blocks again after the tail."""
        with self._lock:
            self._speaking = max(0, self._speaking - 1)
            self._to_drop = self._tail

    @contextmanager
    def closed(self) -> Iterator[None]:
        """Keep the gate closed while the body runs."""
        self.close()
        try:
            yield
        finally:
            self.open()

    def take(self, block: Samples) -> Samples | None:
        """Return what of ``block`` may be heard: all, the end of it, silence, or None."""
        with self._lock:
            if self._speaking:
                return self._dropped()
            if self._to_drop:
                self._to_drop, left = max(0, self._to_drop - len(block)), block[self._to_drop :]
                return left if len(left) else self._dropped()
            return block

    def _dropped(self) -> Samples | None:
        if self._marked:
            return None
        self._marked = True
        return self._mark
