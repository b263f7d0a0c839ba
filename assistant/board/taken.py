"""Whether what was heard was accepted, by the rule of trust that the dialogue uses."""

from __future__ import annotations

from assistant.dialogue.context import Context
from assistant.dialogue.expectation import listening
from assistant.dialogue.state import State
from assistant.language.hypothesis import Recognition
from assistant.language.trust import Again, Ignored, understand


def not_taken(context: Context, state: State, recognition: Recognition) -> Again | Ignored | None:
    """Why what was said in ``state`` was not accepted; None where it was, or is free speech."""
    if not state.opened or state.stopped:
        return None
    expected = listening(context, state)
    if expected.free:
        return None
    understood = understand(context.policy, context.language, expected.spec, recognition)
    return understood if isinstance(understood, Again | Ignored) else None
