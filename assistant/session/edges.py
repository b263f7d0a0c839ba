"""Protocols for what a session talks to, apart from the journal."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from assistant.dialogue.effects import ChimeName, FetchPicture, Say
from assistant.dialogue.events import PictureTrouble
from assistant.dialogue.expectation import Expectation
from assistant.dialogue.facts import Fact
from assistant.dialogue.picture_file import Media
from assistant.dialogue.state import State
from assistant.language.hypothesis import Recognition


class EndOfInput(Exception):  # noqa: N818 - it is the end of input, not a fault
    """The audio file or the keyboard input has ended."""


@dataclass(frozen=True)
class Sound:
    """Something heard: the recognition, and the mono int16 16 kHz samples where there are any."""

    recognition: Recognition
    samples: NDArray[np.int16] | None = None


class SpeechInput(Protocol):
    """Where utterances come from."""

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        """Wait for the next utterance under ``expected``; None when ``patience_s`` is over.

        Raises:
            EndOfInput: nothing more will come.
        """


class SpeechOutput(Protocol):
    """Where speech and chimes go."""

    def say(self, said: Say) -> None:
        """Speak, and play the recording that the line ends with; returns when all was said."""

    def can_play(self, clip: str) -> bool:
        """Whether the recording called ``clip`` is there as it was made, and would be heard."""

    def chime(self, which: ChimeName) -> None:
        """Play a short sound."""

    def adjust(self, what: Literal["rate", "volume"], steps: int) -> None:
        """Change rate or volume."""


class Interruptions(Protocol):
    """Speech output that listens while it speaks."""

    def say(self, said: Say, cuts: Expectation) -> Sound | None:
        """Speak to the end, or until one of ``cuts`` is heard, which is returned."""

    def after(self, cuts: Expectation) -> Sound | None:
        """Listen briefly for what began while speaking."""


class Screen(Protocol):
    """Where a session is shown."""

    def heard(self, sound: Sound) -> None:
        """Show what was heard."""

    def said(self, said: Say) -> None:
        """Show what is being said."""

    def recorded(self, fact: Fact) -> None:
        """Show a fact that has just been stored."""

    def state(self, state: State) -> None:
        """Show the new state."""


@dataclass(frozen=True)
class Picture:
    """A picture in the store: ``file`` is the SHA-256 of its bytes, ``taken`` its file's time."""

    name: str
    file: str
    media: Media
    size: int  # bytes
    taken: str  # ISO 8601 with offset


@dataclass(frozen=True)
class NoPicture:
    """Why there is no picture, with the file's name where there is one."""

    why: PictureTrouble
    name: str = ""
    detail: str = ""


class Pictures(Protocol):
    """Where pictures come from, and are kept."""

    def fetch(self, wanted: FetchPicture) -> Picture | NoPicture:
        """Store the newest picture durably."""


class Clips(Protocol):
    """Where audio evidence is kept."""

    def keep(self, samples: NDArray[np.int16]) -> str:
        """Store samples durably; returns the clip's id."""

    def sound(self, clip: str) -> NDArray[np.int16] | None:
        """The samples of a clip; None where it is missing or not as it was made."""
