"""A stand-in for the builder: says what an attentive builder would say now.

Used by the demonstration, the rehearsal of a procedure, and the tests. Pure: the next line
follows from the state and the builder's answers alone.
"""

from __future__ import annotations

from assistant.dialogue.context import Context
from assistant.dialogue.owner import owner_of
from assistant.dialogue.stand_in import Answers, StandIn
from assistant.dialogue.state import State


def next_line(context: Context, state: State, answers: Answers) -> str | None:
    """What the builder says now; None when there is nothing to say but wait.

    Raises:
        StandInError: the answers do not cover what is asked.
    """
    builder = StandIn(context, state, answers)
    return owner_of(state.awaiting).next_line(builder, state.awaiting)
