"""The rule of a step that showed a value out of its limits, in one place.

From the moment such a value is read back, the step is held at that position. It stays held
whatever is taken back, skipped, gone back over or answered otherwise meanwhile, until either

- a value within the limits is read at that position (the first was a slip of the tongue, or the
  part was corrected), or
- a disposition is released, by another person than the builder, that lets the value stand.

Until then the step can be measured, worked on and gone back from, but it is not done, not skipped
and not left out. Taking back the value that was released takes back the release.
"""

from __future__ import annotations

from assistant.dialogue.state import State, Value
from assistant.dialogue.turn import Turn


def unanswered(state: State, step: str) -> tuple[str, ...]:
    """Positions of ``step`` that hold it, in the order in which they showed their values."""
    released = state.released.get(step, ())
    return tuple(name for name in state.held.get(step, {}) if name not in released)


def hold(turn: Turn, step: str, position: str, value: Value) -> None:
    """``value`` is out of limits: from now on ``position`` holds the step."""
    _put(turn, step, {**_others(turn, step, position), position: value})
    released = turn.state.released.get(step, ())
    if position in released:  # that was for another value
        rest = tuple(p for p in released if p != position)
        turn.put(released={**turn.state.released, step: rest})


def end_hold(turn: Turn, step: str, position: str) -> None:
    """A value within limits was read at ``position``."""
    if position in turn.state.held.get(step, {}):
        _put(turn, step, _others(turn, step, position))


def _others(turn: Turn, step: str, position: str) -> dict[str, Value]:
    return {p: v for p, v in turn.state.held.get(step, {}).items() if p != position}


def _put(turn: Turn, step: str, values: dict[str, Value]) -> None:
    turn.put(held={**turn.state.held, step: values})
