"""Puts the mouth together: voice, chimes and the gate that keeps it from hearing itself."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from pathlib import Path
from shutil import which
from typing import Literal

from assistant.audio.chime import play_chime
from assistant.audio.devices import portaudio
from assistant.audio.duplex import DuplexLoudspeaker
from assistant.audio.gate import HalfDuplexGate
from assistant.audio.loudspeaker import Loudspeaker
from assistant.cli.terminal import tell
from assistant.dialogue.effects import Say
from assistant.models.places import best_installed
from assistant.speech.errors import SpeechError
from assistant.speech.espeak import EspeakSynthesiser
from assistant.speech.piper import PiperSynthesiser
from assistant.speech.played_voice import PlayedVoice, Player, Synthesiser
from assistant.speech.spoken_cache import SpokenCache
from assistant.speech.types import Voice
from assistant.speech.voices import (
    DEFAULT_LANGUAGE,
    DEFAULT_RATE,
    EspeakVoice,
    FileVoice,
    Pyttsx3Voice,
    SilentVoice,
)

_RATE_STEP = 20  # words per minute
_VOLUME = 0.5  # half of full scale, so that two steps louder are left
_VOLUME_STEP_DB = 3.0


@dataclass(frozen=True)
class VoiceNews:
    """The voice failed, and ``why`` says so in a sentence; or it works again."""

    working: bool
    why: str = ""


class SpeakingMouth:
    """Speaks effects through a voice, deaf to itself meanwhile."""

    def __init__(
        self,
        voice: Voice,
        rate: int = DEFAULT_RATE,
        volume: float = _VOLUME,
        duplex: DuplexLoudspeaker | None = None,
    ) -> None:
        self.gate = HalfDuplexGate()
        self.duplex = duplex
        self.voice = voice
        self._rate = rate
        self._volume = volume
        self._steps = {"rate": 0, "volume": 0}
        self._aloud = not isinstance(voice, SilentVoice | FileVoice)
        self._failing = False
        self._news: deque[VoiceNews] = deque()
        voice.set_volume(volume)  # what the steps count from

    def say(self, said: Say) -> None:
        """Speak; returns when it has been said. A voice that fails is told of once, by a chime too.

        The work does not stop for it: every line is on the screen, and nothing counts before the
        builder answers.
        """
        with self.gate.closed():
            try:
                self.voice.speak(said.text, said.tone)
            except SpeechError as fault:
                if not self._failing:
                    self._failing = True
                    tell(str(fault), err=True)
                    self._news.append(VoiceNews(False, str(fault)))
                    self.chime("again")  # where only the synthesiser failed
            else:
                if self._failing:
                    self._failing = False
                    self._news.append(VoiceNews(True))

    def news(self) -> VoiceNews | None:
        """The oldest news of the voice that was not told yet."""
        return self._news.popleft() if self._news else None

    def chime(self, which: Literal["heard", "again"]) -> None:
        """Play a short sound, where the voice is a real one."""
        if self._aloud:
            with self.gate.closed():
                play_chime(which, self._loudness(), self.duplex)

    def stop(self) -> None:
        """Cut short what is being said; of a voice that can be cut."""
        if isinstance(self.voice, PlayedVoice):
            self.voice.stop()

    def adjust(self, what: Literal["rate", "volume"], steps: int) -> None:
        """Move rate or volume by ``steps``; the dialogue keeps them within what can be followed."""
        self._steps[what] += steps
        if what == "rate":
            self.voice.set_rate(max(1, self._rate + self._steps["rate"] * _RATE_STEP))
        else:
            self.voice.set_volume(self._loudness())

    def _loudness(self) -> float:
        steps = self._steps["volume"]
        return float(min(1.0, self._volume * 10 ** (steps * _VOLUME_STEP_DB / 20)))


def open_voice(asked: str, language: str = DEFAULT_LANGUAGE, player: Player | None = None) -> Voice:
    """The voice asked for: auto, pyttsx3, piper, silent, or a folder to write WAV files to.

    One that cannot be had is told of in one sentence, and the next best is taken.

    Raises:
        SpeechError: the folder cannot be written to.
    """
    if asked == "silent":
        return SilentVoice()
    if asked not in ("auto", "pyttsx3", "piper"):
        return FileVoice(Path(asked), language)
    if asked == "piper":
        try:
            return _played(_neural(language), player)
        except SpeechError as fault:
            tell(f"{fault} Going on with the usual voice.")
    try:
        # espeak-ng itself first: the library over it has been seen to drop a sentence
        if asked == "pyttsx3" or not which("espeak-ng"):
            return Pyttsx3Voice(language)
        return _espeak(language, player)
    except SpeechError as fault:
        tell(f"{fault} Going on without a voice; everything is on the screen.")
        return SilentVoice()


def _espeak(language: str, player: Player | None) -> Voice:
    try:
        portaudio()
    except SpeechError:
        return EspeakVoice(language)  # the command finds the sound card by itself
    return _played(EspeakSynthesiser(language), player)


def _neural(language: str) -> PiperSynthesiser:
    place = best_installed("piper")
    if place is None:
        raise SpeechError(
            "No neural voice is installed; fetch one with "
            "'assembly-assistant models fetch piper-joe-medium'."
        )
    return PiperSynthesiser(place, language)


def _played(synthesiser: Synthesiser, player: Player | None) -> PlayedVoice:
    return PlayedVoice(synthesiser, player or Loudspeaker(), SpokenCache(), DEFAULT_RATE, _VOLUME)
