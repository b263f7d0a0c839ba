"""Asking again for what is awaited, and reading back what does not count yet."""

from __future__ import annotations

from itertools import takewhile

from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.owner import owner_of
from assistant.dialogue.turn import Turn
from assistant.procedure.step import Step


def ask_again(turn: Turn) -> None:
    """Say again what is awaited now.

    Nothing is recorded again, unless it was a wait that has run out meanwhile.
    """
    awaiting = turn.state.awaiting
    owner_of(awaiting).ask_again(turn, awaiting)


def say_standing(turn: Turn) -> None:
    """Read back the values of the open step that do not count yet.

    Their readback may not have been heard: power may have failed between storing and saying. That
    goes for computed values too that led straight on to the open step.
    """
    if turn.state.talk is not None:
        for step in _passed_by(turn):
            kind_of(step).say_standing(turn, step)
    if turn.state.step is not None:
        kind_of(turn.step).say_standing(turn, turn.step)


def _passed_by(turn: Turn) -> list[Step]:
    """The steps right before the open one that were done without a word of the builder."""
    before = turn.state.history if turn.state.step is None else turn.state.history[:-1]
    steps = [turn.context.procedure.step(name) for name in reversed(before)]
    found = takewhile(lambda step: kind_of(step).passes_by_itself(step), steps)
    return list(found)[::-1]
