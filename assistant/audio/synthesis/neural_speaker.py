"""A synthetic speaker that comes from a neural network, the same each time."""

from __future__ import annotations

from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np
import soxr

from assistant.models.places import best_installed
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples

JOE = "joe"
"""The voice "joe" for piper-tts: a man, American English; see the catalogue of models."""


def say_joe(text: str, tempo: float = 1.0) -> Samples:
    """``text`` as ``joe`` says it: mono int16 at 16 kHz. Without chance in it, so repeatable.

    Raises:
        SpeechError: the voice or its library is not installed.
    """
    folder = best_installed("piper")
    if folder is None or find_spec("piper") is None:
        raise SpeechError(
            "The speaker 'joe' needs the extra 'neural' and its voice; fetch it with "
            "'assembly-assistant models fetch piper-joe-medium'."
        )
    from piper import SynthesisConfig

    settings = SynthesisConfig(length_scale=1 / tempo, noise_scale=0.0, noise_w_scale=0.0)
    parts = list(_voice(folder).synthesize(text, settings))
    sound = np.concatenate([part.audio_int16_array for part in parts])
    return np.asarray(soxr.resample(sound, parts[0].sample_rate, SAMPLE_RATE), np.int16)


@lru_cache(maxsize=1)
def _voice(folder: Path) -> Any:
    from piper import PiperVoice

    return PiperVoice.load(next(folder.glob("*.onnx")))
