"""A synthetic builder reading the check's phrases into good and poor microphones."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import soundfile

from assistant.audio.synthesis.noises import NOISES, Waveform, active_power
from assistant.audio.synthesis.speakers import say
from assistant.speech.types import SAMPLE_RATE, Samples

FULL = 32768.0
GAP = np.zeros(int(1.3 * SAMPLE_RATE))


def read_aloud(
    phrases: list[str],
    voice: str = "rms",
    dbov: float = -26.0,
    noise: tuple[str, float] | None = None,
    gain_db: float = 0.0,
) -> Samples:
    """``phrases`` with pauses, each at the active level ``dbov``; then the microphone's gain.

    ``noise``: its name, and how many dB it is below the speech.
    """
    parts: list[Waveform] = [GAP]
    for phrase in phrases:
        said = say(phrase, voice).astype(np.float64)
        parts += [said * FULL * 10 ** (dbov / 20) / np.sqrt(active_power(said)), GAP]
    sound = np.concatenate(parts)
    sound += 3.0 * np.random.default_rng(1).standard_normal(len(sound))  # a sound card's own
    if noise is not None:
        kind, below = noise
        made = NOISES[kind](len(sound), 1)
        sound += made * FULL * 10 ** ((dbov - below) / 20) / np.sqrt(np.mean(made**2))
    whole = np.clip(np.round(sound * 10 ** (gain_db / 20)), -FULL, FULL - 1)
    samples: Samples = whole.astype(np.int16)
    return samples


def write(path: Path, samples: Samples) -> Path:
    """``samples`` as a WAV file."""
    soundfile.write(path, samples, SAMPLE_RATE)
    return path
