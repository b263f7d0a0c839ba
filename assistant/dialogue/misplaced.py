"""Typed words that mean something, but not where the work is: answered with the way out."""

from __future__ import annotations

from assistant.dialogue.earlier import earlier, say_earlier
from assistant.dialogue.expectation import listening
from assistant.dialogue.offering import say_not_now
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, ListenSpec, NumberSpec, Reading

_TAKES_BACK = ("correction", "wrong", "missed", "remeasure")
_ANY = ListenSpec(
    reading=NumberSpec(
        (
            "thou",
            "in",
            "mm",
            "um",
            "N*m",
            "lbf*ft",
            "lbf*in",
            "cN*m",
            "ozf*in",
            "deg",
            "degC",
            "bar",
        )
    ),
    digits=True,
)
_SPELLED = ListenSpec(spelling=True)


def answered(turn: Turn, text: str) -> bool:
    """Whether ``text`` belongs to some other moment, and was answered so.

    It is a command, a reading, digits, or something spelled word by word.
    """
    language = turn.context.language
    meanings = language.interpret(ListenSpec(commands=language.command_ids), text)
    meanings = meanings or language.interpret(_ANY, text)
    if len(text.split()) > 1:  # one word alone may be any word, typed letter by letter
        meanings = meanings or language.interpret(_SPELLED, text)
    if not meanings:
        return False
    meaning = meanings[0]
    back = isinstance(meaning, Command) and meaning.id in _TAKES_BACK
    may_go_back = "go_back" in listening(turn.context, turn.state).spec.commands
    known = may_go_back and earlier(turn.state) is not None
    if known and (back or isinstance(meaning, Reading)):
        say_earlier(turn)
        turn.aside = True
    else:
        say_not_now(turn)
    return True
