"""The espeak-ng command."""

from __future__ import annotations

import subprocess
from dataclasses import dataclass, replace

import numpy as np

from assistant.speech.digit_words import digit_words
from assistant.speech.errors import SpeechError
from assistant.speech.pronounce import Respelling
from assistant.speech.spoken_cache import Spoken
from assistant.speech.ssml import Markup, digit_runs
from assistant.speech.types import Tone

_FULL_AMPLITUDE = 100  # the command goes to 200, which is distorted
_WAV_HEADER = 44
_WAV_RATE = slice(24, 28)


@dataclass(frozen=True)
class EspeakSettings:
    """``voice`` as espeak-ng names it, words per minute, and loudness from 0 to 1."""

    voice: str
    words_per_minute: int
    volume: float

    def arguments(self) -> tuple[str, ...]:
        """The settings as the command's arguments; ``-m`` has it read SSML."""
        amplitude = round(_FULL_AMPLITUDE * min(1.0, max(0.0, self.volume)))
        return ("-m", "-v", self.voice, "-s", str(self.words_per_minute), "-a", str(amplitude))

    def at_rate(self, words_per_minute: int) -> EspeakSettings:
        """The same at another rate."""
        return replace(self, words_per_minute=words_per_minute)

    def at_volume(self, fraction: float) -> EspeakSettings:
        """The same at another loudness."""
        return replace(self, volume=fraction)


class EspeakSynthesiser:
    """Lines as espeak-ng speaks them: trade words respelled, marked up as SSML.

    ``variant``: one of espeak-ng's variants of a voice, "f2" say; none when empty.

    Raises:
        SpeechError: espeak-ng is not installed.
    """

    name = "espeak-ng"

    def __init__(self, language: str, variant: str = "") -> None:
        self._voice = language.lower() + (f"+{variant}" if variant else "")
        self._respell = Respelling.of_language(language)
        self._markup = Markup(digit_runs(digit_words(language)))
        told = run_espeak(("--version",), "").decode(errors="replace")
        self.identity = f"{told.partition('  ')[0].strip()} {self._voice}"

    def prepared(self, text: str, tone: Tone) -> str:
        """``text`` as espeak-ng is given it."""
        return self._markup(self._respell(text), tone)

    def synthesise(self, prepared: str, words_per_minute: int) -> Spoken:
        """A prepared line as sound.

        Raises:
            SpeechError: espeak-ng failed, or gave no sound.
        """
        settings = EspeakSettings(self._voice, words_per_minute, 1.0)
        written = run_espeak(("--stdout", *settings.arguments()), prepared)
        # To a pipe espeak-ng writes a WAV header that knows no length: the rest is sound.
        body = written[_WAV_HEADER:]
        if not body:
            raise SpeechError("espeak-ng gave no sound; install it again.")
        samples = np.frombuffer(body[: len(body) // 2 * 2], "<i2").astype(np.int16)
        return Spoken(samples, int.from_bytes(written[_WAV_RATE], "little"))


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
