"""Recordings of people from the Debian package pocketsphinx-testdata (public test data).

``cards``: five phrases with a JSGF grammar and a transcription. ``librivox``: a woman reading
*Sense and Sensibility*. ``goforward.raw``, ``numbers.raw``, ``tidigits/*.raw``: raw 16 kHz int16.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from assistant.audio.file_source import read_audio
from assistant.speech.types import SAMPLE_RATE, Samples, Utterance

FOLDER = Path("/usr/share/pocketsphinx/test/data")


def recording(name: str) -> Path:
    """The file called ``name`` in the package.

    Raises:
        FileNotFoundError: the package is not installed; the test must then fail, not pass over.
    """
    path = FOLDER / name
    if not path.exists():
        raise FileNotFoundError(
            f"{path} is missing; install the Debian package pocketsphinx-testdata, as "
            "scripts/install_system.sh --tests does."
        )
    return path


def sound(name: str) -> Samples:
    """A recording, WAV or raw, as samples at 16 kHz."""
    path = recording(name)
    if path.suffix == ".raw":
        return np.fromfile(path, np.int16)
    return read_audio(path)


def whole(samples: Samples) -> Utterance:
    """All of ``samples`` as one utterance."""
    return Utterance(samples, 0.0, len(samples) / SAMPLE_RATE)


def grammar_words(jsgf: str) -> tuple[str, ...]:
    """The plain words of a simple JSGF text."""
    import re

    body = re.sub(r"/\*.*?\*/|#JSGF[^;]*;|grammar \w+;|<[^>]*>|public", " ", jsgf, flags=re.DOTALL)
    return tuple(sorted(set(re.findall(r"[a-z]+", body))))
