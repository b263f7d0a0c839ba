"""What a recogniser is given (``Utterance``), and the protocol that it has (``Engine``)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from assistant.language.hypothesis import Recognition

SAMPLE_RATE = 16_000
"""Samples per second of all audio inside the assistant (mono, int16)."""

PAUSE = SAMPLE_RATE * 15 // 100
"""Samples of quiet after which a speaker may have ended: 0.15 s."""

Samples = NDArray[np.int16]

IN_DOUBT = 0.75
"""The highest confidence for sound that was cut off: a value heard in it is asked about."""


@dataclass(frozen=True)
class Utterance:
    """One endpointed stretch of speech: mono int16 ``samples`` at 16 kHz.

    ``start_s``/``end_s`` are seconds from the start of the audio source. ``spoken`` is the number
    of samples up to the end of the last voiced sound; None where that is not known. ``cut``: sound
    went on where it ends, so its last words may be missing. ``noisy``: what follows ``spoken`` is
    not quiet, but noise without speech.
    """

    samples: Samples
    start_s: float
    end_s: float
    spoken: int | None = None
    cut: bool = False
    noisy: bool = False

    @property
    def voiced_part(self) -> Samples:
        """The samples up to shortly after the last voiced sound.

        They are the same however much quiet follows, so that work on them may begin before the
        utterance is known to have ended.
        """
        if self.spoken is None:
            return self.samples
        return self.samples[: self.spoken + PAUSE]


class Engine(Protocol):
    """A speech recogniser that listens only for a given grammar."""

    name: str

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar: JSGF text, and the words it uses. Cached; cheap to call again."""

    def recognise(self, utterance: Utterance) -> Recognition:
        """Decode one utterance under the last grammar given."""
