"""How loud the sound is, and whether it is cut off at the top."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from assistant.speech.types import Samples

_FULL_SCALE = 32768.0
_CLIPPED_AT = 32_700
_SILENT_DBFS = -96.0


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
        if self.clipped > 0.001:
            return "Too loud: the sound is cut off; turn the microphone down or hold it away."
        if self.peak_dbfs < -30.0:
            return "Too quiet: turn the microphone up or bring it nearer."
        return "The level is good."


def _dbfs(size: float) -> float:
    floor = _FULL_SCALE * 10 ** (_SILENT_DBFS / 20)
    return float(20 * np.log10(max(size, floor) / _FULL_SCALE))
