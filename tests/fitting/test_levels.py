"""Levels against signals whose level is known by definition."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.fitting.levels import (
    HIGH_DBOV,
    LOW_DBOV,
    POOR_SNR_DB,
    gain_advice,
    measure,
    noise_advice,
)
from assistant.speech.types import SAMPLE_RATE, Samples

QUIET = np.zeros(0, np.int16)


def tone(dbov: float, seconds: float = 1.0) -> Samples:
    """A sine of 1 kHz; by ITU-T G.100.1 one that just reaches the limits is at -3.01 dBov."""
    t = np.arange(int(seconds * SAMPLE_RATE)) / SAMPLE_RATE
    sound = 32767 * np.sqrt(2) * 10 ** (dbov / 20) * np.sin(2 * np.pi * 1000 * t)
    samples: Samples = np.clip(np.round(sound), -32768, 32767).astype(np.int16)
    return samples


def noise(dbov: float, seconds: float = 2.0) -> Samples:
    rng = np.random.default_rng(1)
    sound = 32768 * 10 ** (dbov / 20) * rng.standard_normal(int(seconds * SAMPLE_RATE))
    samples: Samples = np.clip(np.round(sound), -32768, 32767).astype(np.int16)
    return samples


def test_a_full_scale_sine_is_3_decibels_below_overload() -> None:
    # ITU-T G.100.1: 0 dBov is the level of a full-scale square wave.
    assert measure([tone(-3.0103)], noise(-70)).speech_dbov == pytest.approx(-3.01, abs=0.05)


@pytest.mark.parametrize("level", [-50, -38, -26, -12])
def test_pauses_do_not_lower_the_speech_level(level: float) -> None:
    # The idea of the active speech level of ITU-T P.56: pauses do not count.
    padded = np.concatenate((noise(-80, 1.5), tone(level), noise(-80, 1.5)))
    assert measure([padded], noise(-80)).speech_dbov == pytest.approx(level, abs=0.5)


@pytest.mark.parametrize("ratio", [8, 12, 20, 35])
def test_the_ratio_of_known_speech_and_noise(ratio: float) -> None:
    room = noise(-30 - ratio)
    in_noise = tone(-30, 2.0) + room
    levels = measure([in_noise.astype(np.int16)], room)
    assert levels.snr_db == pytest.approx(ratio, abs=1.0)
    assert levels.noise_dbov == pytest.approx(-30 - ratio, abs=0.2)


def test_without_a_quiet_moment_the_quietest_sound_stands_in_for_the_room() -> None:
    said = np.concatenate((noise(-60, 0.5), tone(-26), noise(-60, 0.5)))
    assert measure([said], QUIET).noise_dbov == pytest.approx(-60, abs=1.5)


def test_digital_silence_is_not_taken_for_the_room() -> None:
    room = np.concatenate((np.zeros(8 * SAMPLE_RATE, np.int16), noise(-55, 2.0)))
    assert measure([tone(-26)], room).noise_dbov == pytest.approx(-55, abs=0.3)


@given(st.floats(-70, -4))
def test_the_advice_on_gain_leads_into_the_good_range(level: float) -> None:
    key, by = gain_advice(measure([tone(level)], noise(-85)))
    better = level + (by if key == "gain_low" else -by)
    assert LOW_DBOV <= better <= HIGH_DBOV


def test_sound_that_is_cut_off_is_told_whatever_its_level() -> None:
    cut = np.clip(tone(-3.0).astype(np.int32) * 3, -32768, 32767).astype(np.int16)
    levels = measure([cut], noise(-60))
    assert levels.clipped > 0.1
    assert gain_advice(levels)[0] == "gain_clipped"


def test_noise_is_warned_of_and_silence_says_nothing_of_noise() -> None:
    room = noise(-30 - POOR_SNR_DB + 4)
    assert noise_advice(measure([(tone(-30, 2.0) + room).astype(np.int16)], room)) == "noise_poor"
    assert noise_advice(measure([tone(-26)], noise(-70))) == ""
    assert noise_advice(measure([], noise(-30))) == ""
    assert gain_advice(measure([], noise(-30)))[0] == "gain_unknown"
