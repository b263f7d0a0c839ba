"""Whisper's log-mel features, on whatever device the sound lies.

16 kHz, Hann windows of 400 samples every 160, 80 mel bands (Slaney's scale and area), log10
held within 8 of the window's maximum, then (x + 4) / 4.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

RATE, SIZE, HOP, MELS = 16_000, 400, 160, 80


@lru_cache(maxsize=1)
def filters() -> NDArray[np.float32]:
    """Mel bands (80, 201), as ``librosa.filters.mel`` makes them by default."""

    def hertz(mel: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.where(mel < 15, mel * 200 / 3, 1000 * np.exp((mel - 15) * np.log(6.4) / 27))

    top = 15 + np.log(RATE / 2 / 1000) / np.log(6.4) * 27
    edges = hertz(np.linspace(0, top, MELS + 2))
    bins = np.linspace(0, RATE / 2, SIZE // 2 + 1)
    rise = (bins - edges[:-2, None]) / np.diff(edges)[:-1, None]
    fall = (edges[2:, None] - bins) / np.diff(edges)[1:, None]
    bands = np.maximum(0, np.minimum(rise, fall)) * (2 / (edges[2:] - edges[:-2]))[:, None]
    return bands.astype(np.float32)


def log_mel(sound: Tensor) -> Tensor:
    """Sound (batch, N) -> features (batch, 80, N // 160)."""
    window = torch.hann_window(SIZE, device=sound.device)
    spectrum = torch.stft(sound, SIZE, HOP, window=window, return_complex=True)[..., :-1]
    bands = torch.from_numpy(filters()).to(sound.device) @ spectrum.abs().square()
    mel = bands.clamp(min=1e-10).log10()
    mel = torch.maximum(mel, mel.amax((1, 2), keepdim=True) - 8)
    return (mel + 4) / 4
