"""Voices: aloud, into files, or kept as text."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import soundfile

from assistant.language.tone import Tone
from assistant.speech.errors import SpeechError
from assistant.voice.espeak import EspeakSynthesiser, run_espeak
from assistant.voice.espeak_settings import EspeakSettings
from assistant.voice.pronounce import Respelling

DEFAULT_LANGUAGE = "en-US"
DEFAULT_RATE = 150
"""Words per minute; slower than conversation, for a workshop."""
DEFAULT_VOLUME = 0.9


class SilentVoice:
    """Says nothing aloud; ``said`` holds what would have been said, in order."""

    name = "silent"

    def __init__(self) -> None:
        self.said: list[str] = []
        self.words_per_minute = DEFAULT_RATE
        self.volume = DEFAULT_VOLUME

    def speak(self, text: str, tone: Tone = "plain") -> None:
        """Keep ``text``."""
        self.said.append(text)

    def set_rate(self, words_per_minute: int) -> None:
        """Keep the rate."""
        self.words_per_minute = words_per_minute

    def set_volume(self, fraction: float) -> None:
        """Keep the volume."""
        self.volume = fraction


class Pyttsx3Voice:
    """Speaks through pyttsx3: espeak-ng on Linux, the system's own voice elsewhere.

    Raises:
        SpeechError: no synthesiser or no loudspeaker is there.
    """

    name = "pyttsx3"

    def __init__(self, language: str = DEFAULT_LANGUAGE) -> None:
        import pyttsx3  # loads the synthesiser's library, which may be missing

        try:
            self._engine: Any = pyttsx3.init()
        except (RuntimeError, OSError, ImportError) as error:
            raise SpeechError(
                "No speech synthesiser was found; install espeak-ng (on Debian and Ubuntu: "
                "apt-get install espeak-ng)."
            ) from error
        self._respell = Respelling.of_language(language)
        self.set_rate(DEFAULT_RATE)
        self.set_volume(DEFAULT_VOLUME)
        # The first text given to pyttsx3 2.99 is lost (measured): give it one to lose.
        self._engine.say(" ")
        self._engine.runAndWait()

    def speak(self, text: str, tone: Tone = "plain") -> None:
        """Say ``text`` and return when it has been said."""
        self._engine.say(self._respell(text))
        self._engine.runAndWait()

    def set_rate(self, words_per_minute: int) -> None:
        """Change the speaking rate."""
        self._set("rate", words_per_minute)

    def set_volume(self, fraction: float) -> None:
        """Change the loudness, 0 to 1."""
        self._set("volume", fraction)

    def _set(self, name: str, value: float) -> None:
        # Straight to the driver: a setting queued before a text makes pyttsx3 2.99 drop that text
        # in silence (measured), and running an empty queue off never returns.
        self._engine.proxy._driver.setProperty(name, value)


class EspeakVoice:
    """Speaks through the espeak-ng command, which finds its own way to the loudspeaker.

    For machines without PortAudio.

    Raises:
        SpeechError: espeak-ng is not installed.
    """

    name = "espeak-ng"

    def __init__(self, language: str = DEFAULT_LANGUAGE) -> None:
        self._settings = EspeakSettings(language.lower(), DEFAULT_RATE, DEFAULT_VOLUME)
        self._lines = EspeakSynthesiser(language)

    def speak(self, text: str, tone: Tone = "plain") -> None:
        """Say ``text`` and return when it has been said."""
        run_espeak(self._settings.arguments(), self._lines.prepared(text, tone))

    def set_rate(self, words_per_minute: int) -> None:
        """Change the speaking rate."""
        self._settings = self._settings.at_rate(words_per_minute)

    def set_volume(self, fraction: float) -> None:
        """Change the loudness, 0 to 1."""
        self._settings = self._settings.at_volume(fraction)


class FileVoice:
    """Writes what it says into numbered WAV files in ``folder``: ``0001-step-done.wav``.

    Raises:
        SpeechError: the folder cannot be made, or there is no espeak-ng.
    """

    name = "file"

    def __init__(self, folder: Path, language: str = DEFAULT_LANGUAGE) -> None:
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise SpeechError(
                f"The folder {folder} for spoken files cannot be made: {error.strerror}."
            ) from error
        self._folder = folder
        self._lines = EspeakSynthesiser(language)
        self._words_per_minute = DEFAULT_RATE
        self._volume = DEFAULT_VOLUME
        self._count = 0

    def speak(self, text: str, tone: Tone = "plain") -> None:
        """Write ``text`` to the next file."""
        self._count += 1
        slug = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:40].strip("-")
        spoken = self._lines.synthesise(
            self._lines.prepared(text, tone), self._words_per_minute, self._volume
        )
        path = self._folder / f"{self._count:04}-{slug or 'sound'}.wav"
        soundfile.write(path, spoken.samples, spoken.rate, subtype="PCM_16")

    def set_rate(self, words_per_minute: int) -> None:
        """Change the speaking rate."""
        self._words_per_minute = words_per_minute

    def set_volume(self, fraction: float) -> None:
        """Change the loudness, 0 to 1."""
        self._volume = fraction
