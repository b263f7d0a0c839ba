"""Two short chimes that a builder can tell apart without looking: heard, and say again."""

from __future__ import annotations

from typing import Literal

import numpy as np

from assistant.audio.devices import play
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples

_LOW_HZ, _HIGH_HZ = 660.0, 990.0  # a fifth apart, where small loudspeakers are loud
_NOTE_S = 0.09
_PEAK = 0.4


def play_chime(which: Literal["heard", "again"]) -> bool:
    """Play a chime; False when there is nothing to play it on, which is no reason to stop work."""
    try:
        play(heard() if which == "heard" else say_again())
    except SpeechError:
        return False
    return True


def heard() -> Samples:
    """Two notes rising, 0.18 s: understood."""
    return np.concatenate((_note(_LOW_HZ), _note(_HIGH_HZ)))


def say_again() -> Samples:
    """Two notes falling, then the low one again, 0.27 s: not understood."""
    return np.concatenate((_note(_HIGH_HZ), _note(_LOW_HZ), _note(_LOW_HZ)))


def _note(hertz: float) -> Samples:
    """One note that starts and ends in silence, so that it does not click."""
    t = np.arange(int(_NOTE_S * SAMPLE_RATE)) / SAMPLE_RATE
    swell = np.sin(np.pi * t / _NOTE_S)
    samples: Samples = np.round(32767 * _PEAK * swell * np.sin(2 * np.pi * hertz * t)).astype(
        np.int16
    )
    return samples
