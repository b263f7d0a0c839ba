"""The espeak-ng command."""

from __future__ import annotations

import subprocess
from dataclasses import dataclass, replace

from assistant.speech.errors import SpeechError

_FULL_AMPLITUDE = 100  # the command goes to 200, which is distorted


@dataclass(frozen=True)
class EspeakSettings:
    """``voice`` as espeak-ng names it, words per minute, and loudness from 0 to 1."""

    voice: str
    words_per_minute: int
    volume: float

    def arguments(self) -> tuple[str, ...]:
        """The settings as the command's arguments."""
        amplitude = round(_FULL_AMPLITUDE * min(1.0, max(0.0, self.volume)))
        return ("-v", self.voice, "-s", str(self.words_per_minute), "-a", str(amplitude))

    def at_rate(self, words_per_minute: int) -> EspeakSettings:
        """The same at another rate."""
        return replace(self, words_per_minute=words_per_minute)

    def at_volume(self, fraction: float) -> EspeakSettings:
        """The same at another loudness."""
        return replace(self, volume=fraction)


def run_espeak(arguments: tuple[str, ...], text: str) -> None:
    """Run espeak-ng on ``text``, which goes in as standard input so that it is never an option.

    Raises:
        SpeechError: it is not installed, or it failed.
    """
    try:
        subprocess.run(
            ("espeak-ng", "--stdin", *arguments),
            input=text.encode(),
            check=True,
            capture_output=True,
        )
    except FileNotFoundError as error:
        raise SpeechError(
            "The speech synthesiser espeak-ng is missing; install it (on Debian and Ubuntu: "
            "apt-get install espeak-ng)."
        ) from error
    except subprocess.CalledProcessError as error:
        said = error.stderr.decode(errors="replace").strip().splitlines()
        reason = said[-1] if said else f"exit status {error.returncode}"
        raise SpeechError(f"espeak-ng could not speak ({reason}); check the sound card.") from error
