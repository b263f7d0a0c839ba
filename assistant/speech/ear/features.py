"""Log-mel features as Whisper's encoder takes them (Radford and others 2022, section 2.2).

Frames of 25 ms every 10 ms, 80 mel bands up to 8 kHz on Slaney's scale, each band's area one.
Their logarithm to base ten, floored at 80 dB below the loudest band, moved to about -1 to 1.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from assistant.speech.types import SAMPLE_RATE, Samples

Matrix = NDArray[np.float32]

BANDS = 80
HOP = 160
"""Samples from one frame to the next: 10 ms."""
_WINDOW = 400


def log_mel(samples: Samples) -> Matrix:
    """Features of mono int16 ``samples`` at 16 kHz, shape (80, frames), a frame for every 160.

    The last, incomplete frame is left out; fewer than 400 samples are filled up with quiet.
    """
    sound = samples.astype(np.float32) / 32768
    if len(sound) < _WINDOW:
        sound = np.pad(sound, (0, _WINDOW - len(sound)))
    padded = np.pad(sound, _WINDOW // 2, mode="reflect")
    count = len(sound) // HOP
    strided = np.lib.stride_tricks.sliding_window_view(padded, _WINDOW)[::HOP][:count]
    power = np.abs(np.fft.rfft(strided * _hann(), axis=1)) ** 2
    # Not as a matrix product: numpy's library shares that among threads, which then wait for the
    # next one spinning, and so take more processor time than all the rest of listening.
    mel = np.maximum(np.einsum("fb,mb->fm", power.astype(np.float32), _filters()), 1e-10)
    decades = np.log10(mel)
    decades = np.maximum(decades, decades.max() - 8.0)
    return np.ascontiguousarray(((decades + 4.0) / 4.0).T, np.float32)


@lru_cache(maxsize=1)
def _hann() -> Matrix:
    """Periodic, so that frames that overlap add up evenly."""
    return np.hanning(_WINDOW + 1)[:-1].astype(np.float32)


@lru_cache(maxsize=1)
def _filters() -> Matrix:
    """Triangles from each band's lower neighbour to its upper one, shape (80, 201)."""
    edges = _hertz(np.linspace(0.0, _mels(SAMPLE_RATE / 2), BANDS + 2))
    bins = np.fft.rfftfreq(_WINDOW, 1 / SAMPLE_RATE)
    low, middle, high = edges[:-2, None], edges[1:-1, None], edges[2:, None]
    rising, falling = (bins - low) / (middle - low), (high - bins) / (high - middle)
    triangles = np.maximum(0.0, np.minimum(rising, falling)) * 2.0 / (high - low)
    return triangles.astype(np.float32)


def _mels(hertz: float) -> float:
    """Slaney's mel scale: linear up to 1 kHz, logarithmic above (Auditory Toolbox, 1998)."""
    return 15.0 + 27.0 * float(np.log(hertz / 1000.0) / np.log(6.4))


def _hertz(mels: NDArray[np.float64]) -> NDArray[np.float64]:
    above = 1000.0 * np.exp((mels - 15.0) * np.log(6.4) / 27.0)
    return np.where(mels < 15.0, mels * 200.0 / 3.0, above)
