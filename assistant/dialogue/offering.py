"""What may be said now, for the ear: what is awaited first, a few things at a time."""

from __future__ import annotations

from assistant.dialogue.commands import ANYTIME
from assistant.dialogue.expectation import listening
from assistant.dialogue.owner import taught
from assistant.dialogue.turn import Turn

_AT_ONCE = 4  # and how to hear the rest: five things, under eight seconds
_LATER = ("wrong", "correction", "remeasure", "missed", "go_back", "skip")
"""Commands that lead back or away; what leads on is named before them."""


def say_help(turn: Turn, more: bool = False) -> None:
    """Name the first few things that may be said, or the next few after those."""
    things = sayable(turn)
    begin = turn.state.helped if more and turn.state.helped < len(things) else 0
    named = things[begin : begin + _AT_ONCE]
    turn.put(helped=begin + len(named))
    key = "help_now" if begin == 0 else "help_rest"
    last = begin + len(named) >= len(things)
    turn.say(key + "_last" if last else key, phrases=", ".join(named))


def sayable(turn: Turn) -> list[str]:
    """Everything that may be said, in words, in the order in which it is likely to be wanted."""
    spec = listening(turn.context, turn.state).spec
    kinds = (("reading", spec.reading), ("digits", spec.digits), ("spelling", spec.spelling))
    own = [turn.words("help_" + name) for name, wanted in kinds if wanted]
    phrases = [words for _, words in spec.phrases]
    commands = [c for c in spec.commands if c not in ANYTIME]

    def say(chosen: list[str]) -> list[str]:
        return [taught(turn.context, turn.state.awaiting, c) for c in chosen]

    onward = say([c for c in commands if c not in _LATER])
    back = say([c for c in commands if c in _LATER])
    anytime = say([c for c in spec.commands if c in ANYTIME and c != "help_more"])
    return own + onward + phrases + back + anytime


def say_not_now(turn: Turn) -> None:
    """What was said is understood and means nothing here: say what is awaited instead."""
    things = sayable(turn)
    turn.aside = True  # "repeat" goes back behind it, to the instruction
    if things:
        turn.say("not_now", tone="ask", first=things[0])
    else:
        turn.say("already_finished")
