"""What was heard last, and whether it was taken."""

from __future__ import annotations

from assistant.board.kinds.kind import Glance
from assistant.board.taken import not_taken
from assistant.board.view import HeardLine, LastHeard
from assistant.language.hypothesis import KEYBOARD
from assistant.language.trust import Again


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
