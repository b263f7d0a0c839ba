"""Noise at the stated ratio, a room with the stated reverberation, the same for the same seed."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.audio.synthesis.noises import add_noise
from assistant.evaluation.conditions import (
    CLEAN,
    CONDITIONS,
    NOISE_KINDS,
    SNRS_DB,
    heard,
    muffled,
    noise,
    reverberated,
)
from assistant.speech.types import SAMPLE_RATE

RNG = np.random.default_rng(5)
# A stand-in for speech: noise in bursts with pauses of the same length between them.
BURSTS = np.concatenate([np.r_[RNG.normal(0, 3000, 8000), np.zeros(8000)] for _ in range(4)])
SPEECH = np.round(BURSTS).astype(np.int16)


def level_db(sound: np.ndarray) -> float:
    return float(10 * np.log10(np.mean(sound.astype(float) ** 2)))


@pytest.mark.parametrize("snr_db", SNRS_DB)
def test_the_ratio_is_active_speech_level_over_noise_level(snr_db: int) -> None:
    """The active speech level of ITU-T P.56 is that of the speech without its pauses, which is
    known here by construction: half of the stand-in is pause, so it is 3.01 dB above the mean."""
    mixed = add_noise(SPEECH, noise("hiss", len(SPEECH), 3), snr_db)
    added = mixed.astype(float) - SPEECH
    active = level_db(SPEECH) + 10 * np.log10(2)
    assert active - level_db(added) == pytest.approx(snr_db, abs=0.1)


def test_the_room_dies_away_by_sixty_decibels_in_its_time() -> None:
    """By Schroeder's backward integration (J. Acoust. Soc. Am. 37, 1965) of the response,
    the decay from -5 to -25 dB extrapolated to -60 dB as in ISO 3382 (T20)."""
    impulse = np.zeros(10)
    impulse[0] = 1.0
    response = reverberated(impulse, 0.5, np.random.default_rng(1))[1:]
    left = np.cumsum(response[::-1] ** 2)[::-1]
    decay = 10 * np.log10(left / left[0])
    start, end = np.argmax(decay < -5), np.argmax(decay < -25)
    assert 3 * (end - start) / SAMPLE_RATE == pytest.approx(0.5, rel=0.1)


@pytest.mark.parametrize(("hertz", "less_db"), [(100, 0.09), (1000, 6.02), (4000, 24.6)])
def test_a_glove_takes_away_the_highs(hertz: int, less_db: float) -> None:
    """A low-pass of the second order with two equal poles: 20 lg(1 + (f/1 kHz)^2) dB."""
    tone = np.sin(2 * np.pi * hertz * np.arange(SAMPLE_RATE) / SAMPLE_RATE)
    assert level_db(tone) - level_db(muffled(tone, 1000.0)) == pytest.approx(less_db, abs=0.05)


def test_a_fan_is_mostly_low() -> None:
    sound = noise("fan", SAMPLE_RATE, 2)
    power = np.abs(np.fft.rfft(sound)) ** 2
    assert power[:200].sum() > 10 * power[1000:].sum()


def test_every_condition_follows_from_its_seed() -> None:
    for name in ("clean", "hum 10 dB", "ratchet 5 dB", "grinder 20 dB", "room 0.5 s"):
        once, again, other = (heard(SPEECH, CONDITIONS[name], "a", s) for s in (1, 1, 2))
        assert np.array_equal(once, again), name
        assert not np.array_equal(once, other), name


def test_there_is_quiet_around_the_speech_and_its_level_is_set() -> None:
    sound = heard(SPEECH, CLEAN, "a", 1)
    assert np.abs(sound[:6000]).max() < 30
    assert np.abs(sound[-12000:]).max() < 30
    bursts = sound[6400 : 6400 + 8000]
    assert level_db(bursts) == pytest.approx(20 * np.log10(32768) - 26, abs=0.3)


def test_all_kinds_come_at_all_ratios() -> None:
    assert {f"{k} {s} dB" for k in NOISE_KINDS for s in SNRS_DB} < set(CONDITIONS)


@pytest.mark.audio
def test_babble_is_speech_like_and_cut_by_seed() -> None:
    one, other = noise("babble", SAMPLE_RATE, 1), noise("babble", SAMPLE_RATE, 2)
    assert len(one) == SAMPLE_RATE
    assert not np.array_equal(one, other)
    assert np.std(one) > 0
