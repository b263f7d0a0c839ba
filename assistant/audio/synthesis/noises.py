"""Sounds of a workshop, made from a seed: every recipe is in its function."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from assistant.speech.types import SAMPLE_RATE, Samples

Waveform = NDArray[np.float64]
"""Mono sound at 16 kHz, of any level."""


def bench(length: int, seed: int) -> Waveform:
    """A quiet workshop: low rumble and air, noise whose power falls off with frequency."""
    return _coloured(length, np.random.default_rng(seed), 1.0)


def hiss(length: int, seed: int) -> Waveform:
    """White noise, like an open air line."""
    return np.random.default_rng(seed).standard_normal(length)


def hum(length: int, seed: int) -> Waveform:
    """A compressor or motor: harmonics of 49 Hz slowly swelling, over a low rumble."""
    rng = np.random.default_rng(seed)
    t = np.arange(length) / SAMPLE_RATE
    tones = sum(
        np.sin(2 * np.pi * 49.0 * n * t + rng.uniform(0, 2 * np.pi)) / n for n in range(1, 25)
    )
    swell = 1 + 0.3 * np.sin(2 * np.pi * 0.7 * t + rng.uniform(0, 2 * np.pi))
    return np.asarray(tones * swell + 2.0 * _scaled(_coloured(length, rng, 1.0)))


def grinder(length: int, seed: int) -> Waveform:
    """A grinder: broad noise with a whine at 180 Hz and its harmonics that wanders in pitch."""
    rng = np.random.default_rng(seed)
    wander = np.cumsum(rng.standard_normal(length)) / np.sqrt(SAMPLE_RATE)
    phase = 2 * np.pi * np.cumsum(180.0 + 6.0 * np.tanh(wander)) / SAMPLE_RATE
    whine = sum(np.sin(n * phase) / np.sqrt(n) for n in range(1, 20))
    return np.asarray(_scaled(_coloured(length, rng, 0.3)) + 0.5 * _scaled(np.asarray(whine)))


def ratchet(length: int, seed: int) -> Waveform:
    """A ratchet: bursts of metallic clicks, twelve a second, with pauses."""
    rng = np.random.default_rng(seed)
    sound = np.zeros(length)
    ring = np.arange(int(0.03 * SAMPLE_RATE)) / SAMPLE_RATE
    at = 0.0
    while at < length / SAMPLE_RATE:
        for click in range(int(rng.integers(5, 14))):
            start = int((at + click / 12.0 + rng.normal(0, 0.004)) * SAMPLE_RATE)
            if not 0 <= start < length - len(ring):
                continue
            decay = np.exp(-ring / 0.004)
            tones = sum(np.sin(2 * np.pi * f * ring) for f in rng.uniform(1500, 6500, 4))
            sound[start : start + len(ring)] += tones * decay * rng.uniform(0.6, 1.0)
        at += float(rng.uniform(1.2, 2.5))
    return sound


def fan(length: int, seed: int) -> Waveform:
    """A fan blowing on the microphone: gusts of low rumble, air, and the blades' 47 Hz."""
    rng = np.random.default_rng(seed)
    t = np.arange(length) / SAMPLE_RATE
    blades = sum(
        np.sin(2 * np.pi * 47.0 * n * t + rng.uniform(0, 2 * np.pi)) / n for n in range(1, 9)
    )
    gusts = 1 + 0.8 * np.sin(2 * np.pi * rng.uniform(0.2, 1.5) * t + rng.uniform(0, 2 * np.pi))
    rumble = _scaled(_coloured(length, rng, 2.0)) * gusts
    return np.asarray(3.0 * rumble + 0.5 * blades + 0.5 * rng.standard_normal(length))


def rubbing(length: int, seed: int) -> Waveform:
    """A glove over the microphone: strokes of dull noise, two or three a second, over a little."""
    rng = np.random.default_rng(seed)
    t = np.arange(length) / SAMPLE_RATE
    stroke = np.maximum(0.0, np.sin(2 * np.pi * rng.uniform(1.0, 1.5) * t + rng.uniform(0, 6)))
    return np.asarray(_scaled(_coloured(length, rng, 1.0)) * (0.1 + stroke**2))


def music(length: int, seed: int) -> Waveform:
    """A radio tune: four chords in turn, each of three notes with harmonics, and a beat."""
    rng = np.random.default_rng(seed)
    t = np.arange(length) / SAMPLE_RATE
    sound = np.zeros(length)
    chords = (
        (261.6, 329.6, 392.0),
        (220.0, 261.6, 329.6),
        (174.6, 220.0, 261.6),
        (196.0, 246.9, 293.7),
    )
    bar = 0.6 * SAMPLE_RATE
    for number in range(int(length // bar) + 1):
        part = slice(int(number * bar), min(length, int((number + 1) * bar)))
        here = t[part]
        fade = np.exp(-(here - here[0]) / 0.5) if len(here) else here
        for note in chords[number % 4]:
            for harmonic in (1, 2, 3, 4):
                tone = np.sin(2 * np.pi * note * harmonic * here + rng.uniform(0, 6.28))
                sound[part] += tone * fade / harmonic
        beat = rng.standard_normal(len(here)) * np.exp(-(here - here[0]) / 0.03) if len(here) else 0
        sound[part] += 2.0 * beat
    return sound


def breath(length: int, seed: int) -> Waveform:
    """A breath taken before speaking: noise around 1.5 kHz that swells and dies away."""
    rng = np.random.default_rng(seed)
    spectrum = np.fft.rfft(rng.standard_normal(length))
    hertz = np.fft.rfftfreq(length, 1 / SAMPLE_RATE)
    shape = np.exp(-(((hertz - 1500.0) / 1200.0) ** 2))
    return np.asarray(np.fft.irfft(spectrum * shape, length) * np.hanning(length))


NOISES: dict[str, Callable[[int, int], Waveform]] = {
    f.__name__: f for f in (bench, hiss, hum, grinder, ratchet, fan, rubbing, music)
}
"""Lasting noises by name; each takes a length in samples and a seed."""


def add_noise(speech: Samples, noise: Waveform, snr_db: float) -> Samples:
    """Add ``noise`` so that the speech's active power is ``snr_db`` above the noise's power.

    The speech's level is taken over 20 ms frames within 30 dB of its loudest, which leaves out
    the pauses, after the idea of the active speech level of ITU-T P.56 (simplified).
    """
    sound = speech.astype(np.float64)
    power = max(float(np.mean(noise**2)), 1e-12)
    gain = np.sqrt(active_power(sound) / 10 ** (snr_db / 10) / power)
    return as_samples(sound + gain * noise)


def active_power(sound: Waveform) -> float:
    """Mean power of the frames in which something sounds."""
    frame = SAMPLE_RATE // 50
    whole = sound[: len(sound) // frame * frame].reshape(-1, frame)
    power = (whole**2).mean(axis=1) if len(whole) else np.array([np.mean(sound**2)])
    return float(power[power >= power.max() / 1000.0].mean())


def as_samples(sound: Waveform) -> Samples:
    """Round to int16, held within its range."""
    samples: Samples = np.clip(np.round(sound), -32768, 32767).astype(np.int16)
    return samples


def _coloured(length: int, rng: np.random.Generator, slope: float) -> Waveform:
    """Waveform whose amplitude falls as frequency to the power ``slope``, level below 100 Hz."""
    spectrum = np.fft.rfft(rng.standard_normal(length))
    hertz = np.fft.rfftfreq(length, 1 / SAMPLE_RATE)
    return np.asarray(np.fft.irfft(spectrum / np.maximum(hertz, 100.0) ** slope, length))


def _scaled(sound: Waveform) -> Waveform:
    """With a power of one."""
    level = float(np.sqrt(np.mean(sound**2)))
    return sound / max(level, 1e-12)
