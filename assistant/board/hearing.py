"""What was heard last, and whether it was taken."""

from __future__ import annotations

from assistant.board.kinds.kind import Glance
from assistant.board.view import HeardLine, LastHeard
from assistant.dialogue.context import Context
from assistant.dialogue.expectation import listening
from assistant.dialogue.state import State
from assistant.language.hypothesis import KEYBOARD, Recognition
from assistant.language.trust import Again, Ignored, understand


def last_heard(at: Glance, heard: HeardLine | None) -> LastHeard | None:
    """The words last heard. ``at`` is the present; the words are judged where they were said.

    By the one rule of trust that the dialogue uses, so that the board never shows as taken what
    was not.
    """
    if heard is None:
        return None
    best = next(iter(heard.recognition.hypotheses), None)
    if best is None:
        return LastHeard("…")  # free speech: kept as sound, not as words
    sure = None if heard.recognition.engine == KEYBOARD else round(best.confidence * 100)
    return LastHeard(best.text, sure, _refused(at, heard))


def _refused(at: Glance, heard: HeardLine) -> str:
    """Why it was not taken, in words; empty where it was."""
    why = not_taken(at.context, heard.state, heard.recognition)
    return at.words("refused_" + why.why) if isinstance(why, Again) else ""


def not_taken(context: Context, state: State, recognition: Recognition) -> Again | Ignored | None:
    """Why what was said in ``state`` was not taken; None where it was, or is kept as it is."""
    if not state.opened or state.stopped:
        return None
    expected = listening(context, state)
    if expected.free:
        return None
    understood = understand(context.policy, context.language, expected.spec, recognition)
    return understood if isinstance(understood, Again | Ignored) else None
