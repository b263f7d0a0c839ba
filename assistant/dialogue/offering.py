"""The answer to "what can I say": what may be said now, most likely first, a few at a time."""

from __future__ import annotations

from difflib import get_close_matches
from unicodedata import normalize

from assistant.dialogue.commands import ANYTIME
from assistant.dialogue.expectation import listening
from assistant.dialogue.owner import KeepsSpeech, owner_of, taught
from assistant.dialogue.turn import Turn

_AT_ONCE = 4  # and how to hear the rest: five things
_LETTERS = 53  # of those four, and fewer where they are longer: under eight seconds in all
_SHORTEST = 3  # letters of a word that tells what is meant
_ALIKE = 0.6  # common practice (the default of difflib)
_LATER = ("wrong", "correction", "remeasure", "missed", "go_back", "skip")
"""Commands that lead back or away; what leads on is named before them."""


def say_help(turn: Turn, more: bool = False) -> None:
    """Name the first few things that may be said, or the next few after those."""
    things = sayable(turn)
    begin = turn.state.helped if more and turn.state.helped < len(things) else 0
    named = _at_once(things[begin:])
    turn.put(helped=begin + len(named))
    key = "help_now" if begin == 0 else "help_rest"
    last = begin + len(named) >= len(things)
    turn.say(key + "_last" if last else key, phrases=", ".join(named))


def _at_once(things: list[str]) -> list[str]:
    """As many of ``things`` as are said at once, at least two."""
    named = things[:_AT_ONCE]
    while len(named) > 2 and _letters(named) > _LETTERS:
        named.pop()
    return named


def _letters(things: list[str]) -> int:
    """How long they are when said, in letters of any script: a Hangul syllable has two or three."""
    return sum(len(normalize("NFD", thing)) for thing in things)


def sayable(turn: Turn) -> list[str]:
    """Everything that may be said, in words, in the order in which it is likely to be wanted."""
    at = turn.state.awaiting
    owner, spec = owner_of(at), listening(turn.context, turn.state).spec
    in_vain = owner.not_offered(turn.context, turn.state, at)
    tried = spec.reading is not None and spec.reading.blades and "blades" not in in_vain
    kinds = (
        ("blades", tried),
        ("reading", spec.reading),
        ("digits", spec.digits),
        ("spelling", spec.spelling),
    )
    own = [turn.words("help_" + name) for name, wanted in kinds if wanted]
    if isinstance(owner, KeepsSpeech):
        own = [turn.words("help_" + owner.what)]
    return own + _phrases(turn)


def nearest(turn: Turn, text: str) -> str | None:
    """The phrase that may be said now and is meant by ``text``, as it seems; None without one.

    It has all words of ``text``, or their beginnings, or is spelled much like it.
    """
    phrases, words = _phrases(turn), text.casefold().split()
    if not words or min(map(len, words)) < _SHORTEST:
        return None
    for phrase in phrases:
        if all(any(p.startswith(w) for p in phrase.split()) for w in words):
            return phrase
    return next(iter(get_close_matches(" ".join(words), phrases, 1, _ALIKE)), None)


def _phrases(turn: Turn) -> list[str]:
    """The commands and names that may be said."""
    at = turn.state.awaiting
    spec = listening(turn.context, turn.state).spec
    in_vain = owner_of(at).not_offered(turn.context, turn.state, at)
    phrases = [words for value, words in spec.phrases if value not in in_vain]
    commands = [c for c in spec.commands if c not in ANYTIME and c not in in_vain]

    def say(chosen: list[str]) -> list[str]:
        return [taught(turn.context, at, c) for c in chosen]

    onward = say([c for c in commands if c not in _LATER])
    back = say([c for c in commands if c in _LATER])
    anytime = say([c for c in spec.commands if c in ANYTIME and c != "help_more"])
    return onward + phrases + back + anytime


def say_not_now(turn: Turn) -> None:
    """What was said is understood and means nothing here: say what is awaited instead."""
    things = sayable(turn)
    turn.aside = True  # "repeat" says the instruction, not this
    if things:
        turn.say("not_now", tone="ask", first=things[0])
    else:
        turn.say("already_finished")
