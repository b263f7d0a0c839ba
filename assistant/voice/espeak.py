"""Lines spoken by espeak-ng, and its command."""

from __future__ import annotations

import subprocess
from shutil import which
from typing import Protocol

import numpy as np

from assistant.language.tone import Tone
from assistant.speech.errors import SpeechError
from assistant.voice.digit_words import digit_words
from assistant.voice.espeak_library import espeak_library
from assistant.voice.espeak_settings import EspeakSettings
from assistant.voice.pronounce import Respelling
from assistant.voice.spoken_cache import Spoken
from assistant.voice.ssml import Markup, digit_runs

_WAV_HEADER = 44
_WAV_RATE = slice(24, 28)


class Espeak(Protocol):
    """espeak-ng in one of its two forms: a command, or a library in this process."""

    identity: str

    def sound(self, prepared: str, settings: EspeakSettings) -> Spoken:
        """A line marked up as SSML, as sound. Raises ``SpeechError``."""
        ...


def find_espeak() -> Espeak:
    """The system's own espeak-ng where it has one, otherwise the library from the package index.

    Raises:
        SpeechError: there is neither.
    """
    return EspeakCommand() if which("espeak-ng") else espeak_library()


class EspeakCommand:
    """The espeak-ng command.

    Raises:
        SpeechError: it is not installed.
    """

    def __init__(self) -> None:
        told = run_espeak(("--version",), "").decode(errors="replace")
        self.identity = told.partition("  ")[0].strip()

    def sound(self, prepared: str, settings: EspeakSettings) -> Spoken:
        """A line marked up as SSML, as sound.

        Raises:
            SpeechError: espeak-ng failed, or gave no sound.
        """
        written = run_espeak(("--stdout", *settings.arguments()), prepared)
        # To a pipe espeak-ng writes a WAV header that knows no length: the rest is sound.
        body = written[_WAV_HEADER:]
        if not body:
            raise SpeechError("espeak-ng gave no sound; install it again.")
        samples = np.frombuffer(body[: len(body) // 2 * 2], "<i2").astype(np.int16)
        return Spoken(samples, int.from_bytes(written[_WAV_RATE], "little"))


class EspeakSynthesiser:
    """Lines as espeak-ng speaks them: trade words respelled, marked up as SSML.

    ``variant``: one of espeak-ng's variants of a voice, "f2" say; none when empty.

    Raises:
        SpeechError: there is no espeak-ng, neither as a command nor as a library.
    """

    name = "espeak-ng"

    def __init__(self, language: str, variant: str = "") -> None:
        self._voice = language.lower() + (f"+{variant}" if variant else "")
        self._respell = Respelling.of_language(language)
        self._markup = Markup(digit_runs(digit_words(language)))
        self._espeak = find_espeak()
        self.identity = f"{self._espeak.identity} {self._voice}"

    def prepared(self, text: str, tone: Tone) -> str:
        """``text`` as espeak-ng is given it."""
        return self._markup(self._respell(text), tone)

    def synthesise(self, prepared: str, words_per_minute: int, volume: float = 1.0) -> Spoken:
        """A prepared line as sound.

        Raises:
            SpeechError: espeak-ng failed, or gave no sound.
        """
        return self._espeak.sound(prepared, EspeakSettings(self._voice, words_per_minute, volume))


def run_espeak(arguments: tuple[str, ...], text: str) -> bytes:
    """Run espeak-ng on ``text``, which goes in as standard input so that it is never an option.

    Returns what it wrote to standard output.

    Raises:
        SpeechError: it is not installed, or it failed.
    """
    try:
        done = subprocess.run(
            ("espeak-ng", "--stdin", *arguments),
            input=text.encode("utf-8", "replace"),
            check=True,
            capture_output=True,
        )
    except FileNotFoundError as error:
        raise SpeechError(
            "The speech synthesiser espeak-ng is missing; install it (on Debian and Ubuntu: "
            "apt-get install espeak-ng)."
        ) from error
    except subprocess.CalledProcessError as error:
        raise _failed(error.stderr, f"exit status {error.returncode}") from error
    # Without a sound card it ends as if all were well (1.51, measured) and only says so.
    if b"\nerror: " in b"\n" + done.stderr:
        raise _failed(done.stderr, "no reason given")
    return done.stdout


def _failed(stderr: bytes, otherwise: str) -> SpeechError:
    said = stderr.decode(errors="replace").strip().splitlines()
    reason = said[-1] if said else otherwise
    return SpeechError(f"espeak-ng could not speak ({reason}); check the sound card.")
