"""Limits in words."""

from __future__ import annotations

from assistant.dialogue.turn import Turn
from assistant.quantities.limits import Limits


def limit_words(turn: Turn, limits: Limits) -> str:
    """Limits in words."""
    say = turn.context.language.say_amount
    if limits.lower is not None and limits.upper is not None:
        return turn.words("limits_both", lower=say(limits.lower), upper=say(limits.upper))
    if limits.upper is not None:
        return turn.words("limits_upper", upper=say(limits.upper))
    if limits.lower is not None:
        return turn.words("limits_lower", lower=say(limits.lower))
    return turn.words("limits_none")
