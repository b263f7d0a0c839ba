"""Short chimes that a builder can tell apart without looking: heard, say again, and your turn.

They differ in three ways at once, so that one is enough: two notes against three or one, rising
against falling or level, short against long. All their sound is below 2 kHz, where age and noise
damage hearing last. ISO 7029 gives the loss by frequency. ISO 7731 asks for energy below 1.5 kHz in
signals for people with hearing loss or protectors. (Both from memory.)
"""

from __future__ import annotations

from functools import cache

import numpy as np

from assistant.audio.loudspeaker import Loudspeaker
from assistant.dialogue.effects import ChimeName
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples
from assistant.voice.played_voice import Player

_LOW_HZ, _HIGH_HZ = 440.0, 660.0  # a fifth apart
_PARTIALS = (1.0, 0.5, 0.35)  # a machine's hum that hides one of them leaves the others
_NOTE_S, _LONG_S, _GAP_S = 0.1, 0.18, 0.05
_PEAK = 0.8


def play_chime(which: ChimeName, volume: float = 0.5, player: Player | None = None) -> bool:
    """Play a chime; False when there is nothing to play it on, which is not a reason to stop work.

    ``volume`` is 0 to 1 of full scale.
    """
    samples = {"heard": heard, "again": say_again, "ready": ready}[which]()
    try:
        (player or usual_loudspeaker()).play(
            np.round(samples * volume).astype(np.int16), SAMPLE_RATE
        )
    except SpeechError:
        return False
    return True


@cache
def usual_loudspeaker() -> Loudspeaker:
    """The usual loudspeaker: always the same one, for its first sound has a longer lead."""
    return Loudspeaker()


def heard() -> Samples:
    """Two notes rising, 0.2 s: understood."""
    return np.concatenate((_note(_LOW_HZ, _NOTE_S), _note(_HIGH_HZ, _NOTE_S)))


def ready() -> Samples:
    """One low note, 0.18 s: your turn."""
    return _note(_LOW_HZ, _LONG_S)


def say_again() -> Samples:
    """High, low, and low held, separated by gaps, 0.48 s: not understood."""
    gap = np.zeros(int(_GAP_S * SAMPLE_RATE), np.int16)
    notes = (_note(_HIGH_HZ, _NOTE_S), _note(_LOW_HZ, _NOTE_S), _note(_LOW_HZ, _LONG_S))
    return np.concatenate((notes[0], gap, notes[1], gap, notes[2]))


def _note(hertz: float, seconds: float) -> Samples:
    """One note with its partials that starts and ends in silence, so that it does not click."""
    t = np.arange(int(seconds * SAMPLE_RATE)) / SAMPLE_RATE
    swell = np.sin(np.pi * t / seconds)
    wave = sum(
        part * np.sin(2 * np.pi * number * hertz * t) for number, part in enumerate(_PARTIALS, 1)
    )
    samples: Samples = np.round(32767 * _PEAK * swell * wave / sum(_PARTIALS)).astype(np.int16)
    return samples
