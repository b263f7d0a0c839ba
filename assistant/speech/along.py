"""Engines that hear along: they decode while the builder still speaks."""

from __future__ import annotations

from typing import Protocol, runtime_checkable

from assistant.language.hypothesis import Recognition
from assistant.speech.types import Samples, Utterance


@runtime_checkable
class HearsAlong(Protocol):
    """An engine that may be given the sound of an utterance as it comes in.

    It changes when the work is done, never the answer: ``recognise`` gives the same for an
    utterance that was followed, in blocks of any size, as for one that comes as a whole. An
    engine around another one passes the calls on.
    """

    name: str

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """As :class:`~assistant.speech.types.Engine`."""

    def recognise(self, utterance: Utterance) -> Recognition:
        """As :class:`~assistant.speech.types.Engine`; decodes only what was not followed."""

    def begin(self) -> None:
        """An utterance begins; what was followed before is forgotten."""

    def feed(self, samples: Samples) -> None:
        """The next samples of it, mono int16 at 16 kHz."""

    def so_far(self) -> str:
        """The words heard in it up to now; empty when there are none yet."""


@runtime_checkable
class Anticipates(Protocol):
    """An engine that can begin on an utterance when the speaker pauses."""

    def anticipate(self, utterance: Utterance) -> None:
        """The speaker paused after ``utterance``; returns at once."""
