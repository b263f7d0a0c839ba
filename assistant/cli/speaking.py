"""Opens the voice that was asked for."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from shutil import which

from assistant.audio.devices import find_device, portaudio
from assistant.audio.duplex import DuplexLoudspeaker
from assistant.audio.loudspeaker import Loudspeaker
from assistant.cli.terminal import tell
from assistant.models.places import best_installed
from assistant.session.voice_output import DEFAULT_VOLUME, VoiceOutput
from assistant.speech.errors import SpeechError
from assistant.voice.espeak import EspeakSynthesiser
from assistant.voice.piper import PiperSynthesiser
from assistant.voice.played_voice import PlayedVoice, Player, Synthesiser
from assistant.voice.spoken_cache import SpokenCache
from assistant.voice.types import Voice
from assistant.voice.voices import (
    DEFAULT_LANGUAGE,
    DEFAULT_RATE,
    EspeakVoice,
    FileVoice,
    Pyttsx3Voice,
    SilentVoice,
)


def voice_output(voice: Voice, duplex: DuplexLoudspeaker | None = None) -> VoiceOutput:
    """Speech output through ``voice``; its failures are shown on standard error."""
    return VoiceOutput(voice, partial(tell, err=True), duplex=duplex)


def open_voice(asked: str, language: str = DEFAULT_LANGUAGE, player: Player | None = None) -> Voice:
    """The voice asked for: auto, pyttsx3, piper, silent, or a folder to write WAV files to.

    If one is not available, a sentence says so and the next best is used.

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
    # espeak-ng itself first: the library over it has been seen to drop a sentence
    voices = (_system,) if asked == "pyttsx3" else (_espeak, _system)
    faults = []
    for make in voices:
        try:
            return make(language, player)
        except SpeechError as fault:
            faults.append(fault)
    tell(f"{faults[0]} Going on without a voice; everything is on the screen.")
    return SilentVoice()


def _system(language: str, _player: Player | None) -> Voice:
    find_device(None, "output")  # pyttsx3 itself would go on in silence
    return Pyttsx3Voice(language)


def _espeak(language: str, player: Player | None) -> Voice:
    try:
        portaudio()
    except SpeechError:
        if not which("espeak-ng"):
            raise
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
    return PlayedVoice(
        synthesiser, player or Loudspeaker(), SpokenCache(), DEFAULT_RATE, DEFAULT_VOLUME
    )
