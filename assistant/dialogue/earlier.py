"""The value recorded last before the open step, and the way back to it."""

from __future__ import annotations

from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.state import State
from assistant.dialogue.turn import Turn


def say_earlier(turn: Turn) -> None:
    """There is nothing here to correct: name the value recorded last, and the way back to it."""
    found = earlier(turn.state)
    if found is None:
        turn.say("nothing_to_correct")
        return
    step = turn.context.procedure.step(found)
    name, value = list(turn.state.values[found].items())[-1]
    behind = turn.state.history[turn.state.history.index(found) :]
    count = len(behind) - (turn.state.step is not None)
    turn.say(
        "correct_earlier",
        position=name,
        value=kind_of(step).in_words(turn.context, turn.state, step, value),
        title=step.title,
        count=count,
    )


def earlier(state: State) -> str | None:
    """The step before the open one whose readings were recorded last; None without any."""
    before = state.history if state.step is None else state.history[:-1]
    return next((s for s in reversed(before) if state.values.get(s)), None)
