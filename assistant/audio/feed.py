"""What a loudspeaker's stream is given, block by block, counted in its own samples."""

from __future__ import annotations

from threading import Condition

import numpy as np

from assistant.speech.types import Samples

_NOTHING: Samples = np.zeros(0, np.int16)


class PlaybackBuffer:
    """Gives a device silence until a line is put, then the whole line, then silence again.

    The device takes what it needs when it needs it, so nothing here guesses by a clock what has
    sounded. ``give`` is called from the device's thread, all else from the speaker's; ``cut`` from
    any. ``silence``: samples that come before the first line, however early it is put.
    """

    def __init__(self, silence: int = 0) -> None:
        self._silence = silence
        self._left: Samples = _NOTHING
        self._was_cut = False
        self._ended = False
        self._moved = Condition()

    def put(self, samples: Samples) -> None:
        """The next line, mono int16 at the stream's rate; forgets an earlier cut."""
        with self._moved:
            self._was_cut = False
            self._left = samples

    def give(self, frames: int) -> Samples:
        """The next ``frames`` samples for the device."""
        out = np.zeros(frames, np.int16)
        with self._moved:
            before = min(self._silence, frames)
            self._silence -= before
            part, self._left = self._left[: frames - before], self._left[frames - before :]
            out[before : before + len(part)] = part
            self._moved.notify_all()
        return out

    def cut(self) -> None:
        """Give silence from now on."""
        with self._moved:
            self._was_cut = True
            self._left = _NOTHING
            self._moved.notify_all()

    def end(self) -> None:
        """The device takes nothing more, though nobody closed it."""
        with self._moved:
            self._ended = True
            self._moved.notify_all()

    def given(self, dead_s: float) -> bool:
        """Wait until the device has taken the whole line; False when it was cut.

        Raises:
            TimeoutError: the device has ended, or took nothing for ``dead_s`` seconds.
        """
        with self._moved:
            while len(self._left):
                if self._ended or not self._moved.wait(dead_s):
                    self._left = _NOTHING
                    raise TimeoutError
            return not self._was_cut
