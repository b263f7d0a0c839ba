"""A sound file as an audio source."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import soundfile
import soxr

from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples

_MOST_SAMPLES = 400_000_000  # 1.6 GB in memory: seven hours of mono at 16 kHz
BLOCK_S = 0.1
"""Length of the blocks that a file is read out in, in seconds."""


def read_audio(path: Path) -> Samples:
    """Return the whole of a WAV, FLAC or Ogg file as mono int16 samples at 16 kHz.

    Channels are averaged.

    Raises:
        SpeechError: the file is missing, is not audio, or holds no sound.
    """
    if not path.is_file():
        raise SpeechError(f"There is no sound file {path}; check the name.")
    try:
        _check_length(path)
        sound, rate = soundfile.read(path, dtype="float32", always_2d=True)
    except soundfile.LibsndfileError as error:
        raise SpeechError(
            f"{path} cannot be read as audio; give a WAV, FLAC or Ogg file."
        ) from error
    if len(sound) == 0:
        raise SpeechError(f"{path} holds no sound at all; record it again.")
    return to_samples(sound.mean(axis=1), rate)


def _check_length(path: Path) -> None:
    found = soundfile.info(str(path))
    if found.frames * found.channels > _MOST_SAMPLES:
        raise SpeechError(
            f"{path} holds {found.duration / 3600:.1f} hours of sound, too much to take at once; "
            "cut it into shorter files."
        )


def to_samples(sound: np.ndarray[tuple[int], np.dtype[np.float32]], rate: int) -> Samples:
    """Mono floats from -1 to 1 at ``rate`` samples a second, as int16 at 16 kHz."""
    at_rate = sound if rate == SAMPLE_RATE else soxr.resample(sound, rate, SAMPLE_RATE)
    # 32768 is what soundfile divides by, so 16-bit files come through unchanged.
    samples: Samples = np.clip(np.round(at_rate * 32768.0), -32768, 32767).astype(np.int16)
    return samples


class FileSource:
    """Reads a sound file out in blocks, as fast as they are taken."""

    def __init__(self, path: Path) -> None:
        self._samples = read_audio(path)

    def blocks(self) -> Iterator[Samples]:
        """Yield blocks of a tenth of a second; the last may be shorter."""
        step = int(BLOCK_S * SAMPLE_RATE)
        for start in range(0, len(self._samples), step):
            yield self._samples[start : start + step]
