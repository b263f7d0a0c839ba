"""Log-mel features against an implementation of others: faster-whisper's (MIT licence)."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.audio.synthesis.noises import NOISES, as_samples
from assistant.speech.ear.features import log_mel
from assistant.speech.types import Samples
from tests.lazily import Lazily

reference = Lazily("faster_whisper.feature_extractor")


def tone(hertz: float, seconds: float) -> Samples:
    time = np.arange(round(seconds * 16_000)) / 16_000
    return np.round(9000 * np.sin(2 * np.pi * hertz * time)).astype(np.int16)


SOUNDS = {
    "tone": tone(440.0, 1.0),
    "high tone, odd length": tone(6100.0, 0.7)[:-77],
    "noise": as_samples(NOISES["hiss"](24_000, 1) * 3000),
    "quiet": np.zeros(8000, np.int16),
    "shorter than a window": tone(300.0, 0.02),
    "step": np.repeat(np.array([0, 12_000, -12_000], np.int16), 4000),
}


@pytest.mark.parametrize("name", SOUNDS)
def test_features_are_those_that_the_encoder_was_trained_on(name: str) -> None:
    samples = SOUNDS[name]
    padded = np.pad(samples, (0, max(0, 400 - len(samples))))
    theirs = reference.FeatureExtractor(feature_size=80)(
        padded.astype(np.float32) / 32768, padding=0
    )
    ours = log_mel(samples)
    assert ours.shape == (80, len(padded) // 160)
    # A frame short of a whole hop is theirs alone.
    np.testing.assert_allclose(ours, theirs[:, : ours.shape[1]], atol=2e-3)


def test_features_are_the_same_for_the_same_sound_in_a_louder_recording() -> None:
    """Level only moves them; it does not change their shape (as long as nothing is floored)."""
    soft = as_samples(NOISES["hiss"](16_000, 2) * 300)
    loud = (soft.astype(np.int32) * 10).astype(np.int16)
    moved = log_mel(loud) - log_mel(soft)
    np.testing.assert_allclose(moved, 2.0 / 4.0, atol=1e-3)  # 100 times the power: two decades
