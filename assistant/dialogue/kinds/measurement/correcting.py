"""A reading taken back: the last one, one that is named, or all of them."""

from __future__ import annotations

from assistant.dialogue import tooling
from assistant.dialogue.earlier import say_earlier
from assistant.dialogue.effects import about
from assistant.dialogue.kinds.measurement.measuring import ask_next
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.kinds.measurement.values import (
    open_values,
    read_step,
    supersede,
)
from assistant.dialogue.states import OutOfLimit, Review
from assistant.dialogue.turn import Turn


def replaced(turn: Turn, at: Review | OutOfLimit) -> Measuring:
    """A new reading is said for a value that was read back: that one no longer counts."""
    step = read_step(turn)
    have = open_values(turn)
    index = at.index if isinstance(at, OutOfLimit) else step.places.index(have[-1])
    supersede(turn, step.places[index], "correction")
    return Measuring(index)


def correct(turn: Turn, index: int | None = None) -> None:
    """Take back the last reading, or the one at position ``index``, and measure again."""
    names = read_step(turn).places
    have = open_values(turn)
    if index is None:
        if not have:
            say_earlier(turn)
            return
        index = names.index(have[-1])  # values stand in the order in which they were said
    supersede(turn, names[index], "correction")
    drop_evidence(turn, index)


def drop_evidence(turn: Turn, index: int) -> None:
    """Take back the blades tried at a position, and measure there again."""
    step = read_step(turn)
    name = step.places[index]
    turn.not_owed(about(step.id, name))
    if tooling.blocked_meanwhile(turn):
        return
    turn.go(Measuring(index))
    turn.say(
        "correct_position" if name else "correct_reading", tone="ask", position=step.spoken(name)
    )


def remeasure(turn: Turn) -> None:
    """Take back every reading of the step and start it again."""
    for name in open_values(turn):
        supersede(turn, name, "remeasure")
    turn.say("remeasure")
    if not tooling.blocked_meanwhile(turn):
        ask_next(turn)
