"""What a log awaits between its rows; a row itself is read as a measurement is."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.dialogue.states import DialogueState


@dataclass(frozen=True)
class LogOffered(DialogueState):
    """A log was explained; the builder says when it starts."""


@dataclass(frozen=True)
class BetweenRows(DialogueState):
    """A row counts; the next is not due yet."""
