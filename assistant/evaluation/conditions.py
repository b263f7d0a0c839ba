"""The rooms and noises that speech is put into. Everything follows from a seed.

Levels: the signal-to-noise ratio is the active speech level over the noise's mean power, both in
decibels. ITU-T P.56 defines the active level with an envelope follower and a margin of 15.9 dB.
Here it is the mean power of the 20 ms frames within 30 dB of the loudest: simpler, and pauses are
left out in the same way. Waveform is full band at 16 kHz, not weighted as ITU-T G.191 can.
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from assistant.audio.synthesis.noises import NOISES, Waveform, active_power, add_noise, as_samples
from assistant.audio.synthesis.speakers import say
from assistant.speech.types import SAMPLE_RATE, Samples

NOISE_KINDS = ("babble", "hum", "ratchet", "grinder", "hiss")
SNRS_DB = (20, 10, 5, 0)
ROOMS_S = (0.3, 0.5, 0.8)
_PAD_S = 0.4
_LEVEL = 10 ** (-26 / 20) * 32768
"""Speech is brought to -26 dBov, the usual level for test speech (ITU-T P.800 practice)."""


@dataclass(frozen=True)
class HearingCondition:
    """A noise at a ratio in dB, a room by its reverberation time in s; neither when clean.

    ``level_db``: over the usual level. What goes over full scale is clipped. ``muffled_hz``: from
    there on the microphone hears less, by 12 dB an octave; 0: it is not covered.
    """

    name: str
    noise: str = ""
    snr_db: float = 0.0
    reverberation_s: float = 0.0
    level_db: float = 0.0
    muffled_hz: float = 0.0


CLEAN = HearingCondition("clean")
CONDITIONS: dict[str, HearingCondition] = {
    c.name: c
    for c in (
        CLEAN,
        *(
            HearingCondition(f"{kind} {snr} dB", kind, snr)
            for kind in NOISE_KINDS
            for snr in SNRS_DB
        ),
        *(HearingCondition(f"room {seconds} s", reverberation_s=seconds) for seconds in ROOMS_S),
        HearingCondition("far -20 dB", level_db=-20.0),
        HearingCondition("clipped", level_db=30.0),
        *(HearingCondition(f"fan {snr} dB", "fan", snr) for snr in (10, 0)),
        HearingCondition("gloves", "rubbing", 15, muffled_hz=1000.0),
    )
}
"""All conditions by name."""


def heard(speech: Samples, condition: HearingCondition, key: str, seed: int) -> Samples:
    """``speech`` as the microphone picks it up, with quiet before and after it.

    ``key`` names the utterance: the same key, seed and condition give the same sound.
    """
    rng = np.random.default_rng(
        [seed, zlib.crc32(key.encode()), zlib.crc32(condition.name.encode())]
    )
    sound = speech.astype(np.float64)
    level = np.sqrt(active_power(sound))
    sound *= _LEVEL * 10 ** (condition.level_db / 20) / max(level, 1e-9)
    if condition.reverberation_s:
        sound = reverberated(sound, condition.reverberation_s, rng)
    if condition.muffled_hz:
        sound = muffled(sound, condition.muffled_hz)
    pad = np.zeros(round(_PAD_S * SAMPLE_RATE))
    # The endpointer needs its trailing quiet, so there is more of it behind.
    sound = np.concatenate((pad, sound, pad, pad))
    floor = rng.standard_normal(len(sound)) * 3.0  # a sound card is never digitally silent
    padded = as_samples(sound + floor)
    if not condition.noise:
        return padded
    return add_noise(
        padded, noise(condition.noise, len(padded), int(rng.integers(1 << 30))), condition.snr_db
    )


def muffled(sound: Waveform, hertz: float) -> Waveform:
    """``sound`` as through a glove: 6 dB less at ``hertz``, 12 dB an octave above it."""
    spectrum = np.fft.rfft(sound)
    frequency = np.fft.rfftfreq(len(sound), 1 / SAMPLE_RATE)
    return np.asarray(np.fft.irfft(spectrum / (1 + (frequency / hertz) ** 2), len(sound)))


def noise(kind: str, length: int, seed: int) -> Waveform:
    """``length`` samples of a noise; ``babble`` is a cut of the mixed voices below."""
    if kind != "babble":
        return NOISES[kind](length, seed)
    whole = babble()
    start = int(np.random.default_rng(seed).integers(len(whole)))
    return np.resize(np.roll(whole, -start), length).astype(np.float64)


_TALK = (
    "the delivery van comes on thursday and they still owe us two pallets",
    "put the kettle on and ask whether anybody has seen the long ladder",
    "my sister says the river is higher than it has been for years",
    "we could paint the door green but the shop only had brown left",
    "he played the whole second half with a broken bootlace",
    "that cheese from the market was better than the last one",
)
_babble: list[Waveform] = []


def babble() -> Waveform:
    """Six voices talking at once, each at the same level and starting elsewhere in its talk."""
    if not _babble:
        voices = ("awb", "rms", "slt", "kal16", "slt_hts", "espeak_gb")
        length = 20 * SAMPLE_RATE
        mix = np.zeros(length)
        for index, voice in enumerate(voices):
            mix += np.roll(talk(voice, _TALK[index:] + _TALK[:index], length), index * length // 7)
        _babble.append(mix)
    return _babble[0]


def talk(voice: str, sentences: Sequence[str], length: int) -> Waveform:
    """One voice saying ``sentences`` over and over, at a level of one."""
    said = np.concatenate([say(s, voice).astype(np.float64) for s in sentences])
    return np.resize(said / np.sqrt(active_power(said)), length)


def reverberated(sound: Waveform, seconds: float, rng: np.random.Generator) -> Waveform:
    """``sound`` in a room that dies away by 60 dB in ``seconds``.

    The room's response is the direct sound and, from 5 ms on, noise under an exponential
    envelope with the energy of the direct sound (a direct-to-reverberant ratio of 0 dB).
    """
    length = round(seconds * SAMPLE_RATE)
    time = np.arange(length) / SAMPLE_RATE
    tail = rng.standard_normal(length) * 10 ** (-3 * time / seconds)
    tail[: SAMPLE_RATE // 200] = 0.0
    response = tail / np.sqrt(np.sum(tail**2))
    response[0] = 1.0
    size = len(sound) + length - 1
    spectrum = np.fft.rfft(sound, size) * np.fft.rfft(response, size)
    return np.asarray(np.fft.irfft(spectrum, size))
