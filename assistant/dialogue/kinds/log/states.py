"""The states of a log between its rows; a row is read like a measurement."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.dialogue.states import DialogueState


@dataclass(frozen=True)
class LogOffered(DialogueState):
    """A log was explained; the builder says when it starts."""


@dataclass(frozen=True)
class BetweenRows(DialogueState):
    """A row counts; the next is not due yet."""
