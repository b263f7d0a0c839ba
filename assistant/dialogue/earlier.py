"""The value recorded last before the open step, and the way back to it."""

from __future__ import annotations

from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.state import State
from assistant.dialogue.turn import Turn
from assistant.dialogue.value_label import before_value
from assistant.procedure.step import Step


def say_earlier(turn: Turn) -> None:
    """There is nothing here to correct: name the value recorded last, and the way back to it."""
    found = earlier(turn.state)
    if found is None:
        turn.say("nothing_to_correct")
        return
    step = turn.context.procedure.step(found)
    name, value = list(turn.state.values[found].items())[-1]
    stops = stopped_at(turn)
    count = len(stops) - stops.index(found)
    turn.say(
        "correct_earlier",
        position=before_value(turn, name),
        value=kind_of(step).in_words(turn.context, turn.state, step, value),
        title=step.title,
        count=count,
    )


def earlier(state: State) -> str | None:
    """The step before the open one whose readings were recorded last; None without any."""
    before = state.history if state.step is None else state.history[:-1]
    return next((s for s in reversed(before) if state.values.get(s)), None)


def stopped_at(turn: Turn) -> tuple[str, ...]:
    """The steps before the open one at which the builder was asked something, in order.

    A computed value within limits goes on by itself, and so does a wait that starts at once. Going
    back to it would lead here again, so going back passes over it. One that was skipped or let
    stand, or has cautions, was stopped at.
    """
    state = turn.state
    before = state.history if state.step is None else state.history[:-1]
    steps = turn.context.procedure.step
    return tuple(name for name in before if not _went_on(turn, steps(name)))


def _went_on(turn: Turn, step: Step) -> bool:
    state = turn.state
    if state.talk is None or not kind_of(step).passes_by_itself(step):
        return False
    asked = state.released.get(step.id) or step.cautions or step.picture
    return state.outcomes.get(step.id) == "done" and not asked
