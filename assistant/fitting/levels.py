"""How loud the speech and the noise of a check are, and what to do about it.

The active speech level is that of the hearing bench: ITU-T P.56 simplified to the mean power of
the 20 ms frames within 30 dB of the loudest. Here the noise's power is first subtracted from each
frame, and frames that are no louder than the noise are left out.

Levels are in dBov: decibels to the overload point, where a full-scale square wave is 0 (ITU-T
G.100.1).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from assistant.audio.level import Level
from assistant.speech.types import SAMPLE_RATE, Samples

FLOOR_DBOV = -96.0
"""What silence is said to be: about the smallest step of 16 bits."""

WANTED_DBOV = -26.0
"""Level of test speech (ITU-T P.800 practice), which leaves room for a raised voice."""

LOW_DBOV, HIGH_DBOV = -40.0, -16.0
"""Outside of these the microphone's setting is to be changed (common practice, no source)."""

CLIPPED = 0.001
"""Share of samples at the limit from which the sound counts as cut off (as `microphone` does)."""

POOR_SNR_DB, FAIR_SNR_DB = 15.0, 22.0
"""At 10 dB of babble or grinder three quarters of readings were lost (docs/hearing.md)."""

_FRAME = SAMPLE_RATE // 50
_ENOUGH = SAMPLE_RATE // 2  # half a second of the room by itself says how loud it is
_FULL = 32768.0**2


@dataclass(frozen=True)
class Levels:
    """Levels of a check in dBov; ``snr_db`` in dB; ``clipped`` a share of the speech, 0 to 1."""

    speech_dbov: float
    noise_dbov: float
    snr_db: float
    clipped: float

    @property
    def silent(self) -> bool:
        """True when no speech was found at all."""
        return self.speech_dbov <= FLOOR_DBOV


def measure(speech: Sequence[Samples], room: Samples) -> Levels:
    """Levels of the utterances ``speech``, in the noise of ``room`` (sound without speech).

    Where ``room`` is too short to tell, the quietest tenth of the utterances' frames stands in
    for it.
    """
    said = [s for s in speech if len(s) >= _FRAME]
    if not said:
        return Levels(FLOOR_DBOV, _dbov(_power(_alive(room))), 0.0, 0.0)
    noise = _power(_alive(room)) if len(_alive(room)) >= _ENOUGH else _quietest(said)
    lengths = np.array([len(s) for s in said], np.float64)
    active = float(np.average([_active_power(s, noise) for s in said], weights=lengths))
    speech_dbov, noise_dbov = _dbov(active), _dbov(noise)
    clipped = float(np.average([Level.of(s).clipped for s in said], weights=lengths))
    return Levels(speech_dbov, noise_dbov, speech_dbov - noise_dbov, clipped)


def gain_advice(levels: Levels) -> tuple[str, float]:
    """The key of the one sentence on the microphone's gain, and by how many dB to change it."""
    if levels.silent:
        return "gain_unknown", 0.0
    if levels.clipped > CLIPPED:
        # How far over the top it was cannot be measured; 6 dB is the least that helps.
        return "gain_clipped", max(6.0, levels.speech_dbov - WANTED_DBOV)
    if levels.speech_dbov < LOW_DBOV:
        return "gain_low", WANTED_DBOV - levels.speech_dbov
    if levels.speech_dbov > HIGH_DBOV:
        return "gain_high", levels.speech_dbov - WANTED_DBOV
    return "gain_good", 0.0


def noise_advice(levels: Levels) -> str:
    """The key of the warning about noise; empty when there is nothing to warn of."""
    if levels.silent or levels.snr_db >= FAIR_SNR_DB:
        return ""
    return "noise_poor" if levels.snr_db < POOR_SNR_DB else "noise_middling"


def poor(levels: Levels) -> bool:
    """Whether the sound itself is bad: cut off, or too close to the noise."""
    return levels.clipped > CLIPPED or noise_advice(levels) == "noise_poor"


def _alive(sound: Samples) -> Samples:
    """Without stretches of digital silence: a gate's mark, or what pads a recording."""
    whole = _frames(sound)
    alive: Samples = whole[np.any(whole != 0, axis=1)].reshape(-1)
    return alive


def _active_power(sound: Samples, noise: float) -> float:
    """Active power of an utterance without the noise's: noise must not count as speech."""
    power = np.mean(_frames(sound).astype(np.float64) ** 2, axis=1) - noise
    active = power[power >= max(power.max() / 1000.0, noise)]
    return float(active.mean()) if len(active) else 0.0


def _frames(sound: Samples) -> Samples:
    whole: Samples = sound[: len(sound) // _FRAME * _FRAME].reshape(-1, _FRAME)
    return whole


def _quietest(speech: Sequence[Samples]) -> float:
    frames = np.concatenate([_frames(s) for s in speech])
    alive = frames[np.any(frames != 0, axis=1)].astype(np.float64)
    if not len(alive):
        return 0.0
    power = np.sort(np.mean(alive**2, axis=1))
    return float(np.mean(power[: max(1, len(power) // 10)]))


def _power(sound: Samples) -> float:
    return float(np.mean(sound.astype(np.float64) ** 2)) if len(sound) else 0.0


def _dbov(power: float) -> float:
    return float(max(FLOOR_DBOV, 10 * np.log10(max(power, 1e-12) / _FULL)))
