"""Asking again for what is awaited, and reading back what does not count yet."""

from __future__ import annotations

from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.owner import owner_of
from assistant.dialogue.turn import Turn


def ask_again(turn: Turn) -> None:
    """Say again what is awaited now.

    Nothing is recorded again, unless it was a wait that has run out meanwhile.
    """
    awaiting = turn.state.awaiting
    owner_of(awaiting).ask_again(turn, awaiting)


def say_standing(turn: Turn) -> None:
    """Read back the values of the open step that do not count yet.

    Their readback may not have been heard: power may have failed between storing and saying.
    """
    if turn.state.step is not None:
        kind_of(turn.step).say_standing(turn, turn.step)
