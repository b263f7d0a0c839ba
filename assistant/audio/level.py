"""How loud the sound is, and whether it is cut off at the top."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

import numpy as np

from assistant.speech.types import SAMPLE_RATE, Samples

_FULL_SCALE = 32768.0
_CLIPPED_AT = 32_700
_SILENT_DBFS = -96.0
_CLIPPED_SHARE = 0.001


@dataclass(frozen=True)
class Level:
    """Loudness of a stretch of sound.

    ``rms_dbfs`` and ``peak_dbfs`` are decibels below full scale (a full-scale square wave is 0);
    ``clipped`` is the share of samples at the limit, 0 to 1.
    """

    rms_dbfs: float
    peak_dbfs: float
    clipped: float

    @staticmethod
    def of(samples: Samples) -> Level:
        """Measure ``samples``; silence reads -96 dB."""
        if len(samples) == 0:
            return Level(_SILENT_DBFS, _SILENT_DBFS, 0.0)
        sound = samples.astype(np.float64)
        size = np.abs(sound)
        return Level(
            _dbfs(float(np.sqrt(np.mean(sound**2)))),
            _dbfs(float(size.max())),
            float(np.mean(size >= _CLIPPED_AT)),
        )

    @property
    def advice(self) -> str:
        """One sentence for the builder on the microphone's setting while he speaks."""
        if self.clipped > _CLIPPED_SHARE:
            return "Too loud: the sound is cut off; turn the microphone down or hold it away."
        if self.peak_dbfs < -30.0:
            return "Too quiet: turn the microphone up or bring it nearer."
        return "The level is good."


class ClippingWatch:
    """Tells once when the sound is cut off at the top again and again, as by a loud voice.

    That is ``blocks`` cut-off blocks within ``within_s``: a dropped spanner is one or two. Told
    again after ``quiet_s`` at the earliest. All times are of captured sound.
    """

    def __init__(self, blocks: int = 5, within_s: float = 3.0, quiet_s: float = 300.0) -> None:
        self._blocks = blocks
        self._within = int(within_s * SAMPLE_RATE)
        self._quiet = int(quiet_s * SAMPLE_RATE)
        self._at = 0
        self._cut: deque[int] = deque(maxlen=blocks)
        self._silent_until = 0
        self.warnings = 0

    def take(self, level: Level, length: int) -> None:
        """A block of ``length`` samples was heard at ``level``."""
        self._at += length
        if level.clipped <= _CLIPPED_SHARE:
            return
        self._cut.append(self._at)
        often = len(self._cut) == self._blocks and self._at - self._cut[0] <= self._within
        if often and self._at >= self._silent_until:
            self.warnings += 1
            self._silent_until = self._at + self._quiet


def _dbfs(size: float) -> float:
    floor = _FULL_SCALE * 10 ** (_SILENT_DBFS / 20)
    return float(20 * np.log10(max(size, floor) / _FULL_SCALE))
