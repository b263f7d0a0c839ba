"""Puts the mouth together: voice, chimes and the gate that keeps it from hearing itself."""

from __future__ import annotations

from pathlib import Path
from shutil import which
from typing import Literal

from assistant.audio.chime import play_chime
from assistant.audio.gate import HalfDuplexGate
from assistant.dialogue.effects import Say
from assistant.speech.errors import SpeechError
from assistant.speech.types import Voice
from assistant.speech.voices import EspeakVoice, FileVoice, Pyttsx3Voice, SilentVoice

_RATE_STEP = 20  # words per minute
_VOLUME_STEP = 0.15


class SpeakingMouth:
    """Speaks effects through a voice, deaf to itself meanwhile."""

    def __init__(self, voice: Voice, rate: int = 150, volume: float = 0.9) -> None:
        self.gate = HalfDuplexGate()
        self._voice = voice
        self._rate = rate
        self._volume = volume
        self._aloud = not isinstance(voice, SilentVoice | FileVoice)

    def say(self, said: Say) -> None:
        """Speak; returns when it has been said."""
        with self.gate.closed():
            self._voice.speak(said.text)

    def chime(self, which: Literal["heard", "again"]) -> None:
        """Play a short sound, where the voice is a real one."""
        if self._aloud:
            with self.gate.closed():
                play_chime(which)

    def adjust(self, what: Literal["rate", "volume"], steps: int) -> None:
        """Change rate or volume within what stays intelligible."""
        if what == "rate":
            self._rate = min(240, max(90, self._rate + steps * _RATE_STEP))
            self._voice.set_rate(self._rate)
        else:
            self._volume = min(1.0, max(0.1, self._volume + steps * _VOLUME_STEP))
            self._voice.set_volume(self._volume)


def open_voice(asked: str) -> Voice:
    """The voice asked for: ``auto``, ``pyttsx3``, ``silent``, or a folder to write WAV files to.

    Raises:
        SpeechError: the folder cannot be written to.
    """
    if asked == "silent":
        return SilentVoice()
    if asked not in ("auto", "pyttsx3"):
        return FileVoice(Path(asked))
    try:
        # espeak-ng itself first: the library over it has been seen to drop a sentence
        return Pyttsx3Voice() if asked == "pyttsx3" or not which("espeak-ng") else EspeakVoice()
    except SpeechError as fault:
        print(f"{fault} Going on without a voice; everything is on the screen.")
        return SilentVoice()
