"""Puts a whole session together from its script."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from zlib import crc32

import numpy as np

from assistant.audio.synthesis.noises import (
    NOISES,
    Waveform,
    active_power,
    as_samples,
    breath,
)
from assistant.audio.synthesis.session_script import ScriptLine, parse_script
from assistant.audio.synthesis.speakers import say
from assistant.speech.endpoint import Endpointer
from assistant.speech.types import SAMPLE_RATE, Samples, Utterance

_SPEECH_RMS = 3000.0  # -21 dB full scale, about what a microphone at arm's length is set to
_BREATH_RMS = 60.0
_BREATH_S = 0.35
_LAST_GAP_S = 1.2


def synthesise(lines: Iterable[str], voice: str = "slt", seed: int = 1) -> Samples:
    """A session script as sound, mono int16 at 16 kHz; the same for the same seed.

    Raises:
        SpeechError: the script is faulty, or a speaker is missing.
    """
    parts = [_part(line, seed + 1000 * n) for n, line in enumerate(parse_script(lines, voice))]
    return np.concatenate((*parts, _seconds(_LAST_GAP_S)))


def waited_for(endpointer: Endpointer, sounds: list[Samples]) -> Iterator[Utterance]:
    """The utterance that is still open: its speaker waits for the answer.

    The quiet meanwhile is added to ``sounds``.
    """
    while endpointer.speaking:
        sounds.append(_seconds(0.1))
        yield from endpointer.follow(sounds[-1])


def _part(line: ScriptLine, seed: int) -> Samples:
    """One utterance with the gap, sounds and breath before it and the noise under all of it."""
    speech = _at_level(say(line.text, line.speaker, line.tempo).astype(np.float64), _SPEECH_RMS)
    before: list[Waveform] = [_seconds(line.gap_s).astype(np.float64)]
    for number, (name, seconds) in enumerate(line.sounds):
        noise = NOISES[name](int(seconds * SAMPLE_RATE), _seed(seed, name, number))
        before += [_at_level(noise, _SPEECH_RMS), _seconds(line.gap_s).astype(np.float64)]
    if line.breath:
        taken = breath(int(_BREATH_S * SAMPLE_RATE), _seed(seed, "breath", 0))
        before.append(_at_level(taken, _BREATH_RMS))
    sound = np.concatenate((*before, speech))
    if line.noise is not None:
        noise = NOISES[line.noise](len(sound), _seed(seed, line.noise, -1))
        gain = _SPEECH_RMS / 10 ** (line.snr_db / 20) / max(float(np.sqrt(np.mean(noise**2))), 1e-9)
        sound = sound + gain * noise
    return as_samples(sound)


def _at_level(sound: Waveform, rms: float) -> Waveform:
    return np.asarray(sound * (rms / max(np.sqrt(active_power(sound)), 1e-9)))


def _seconds(seconds: float) -> Samples:
    return np.zeros(int(seconds * SAMPLE_RATE), np.int16)


def _seed(seed: int, name: str, number: int) -> int:
    """A seed of its own for every sound of a session (crc32, as hash() differs between runs)."""
    return crc32(f"{seed}|{name}|{number}".encode())
