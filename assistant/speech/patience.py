"""How much quiet ends an utterance, by what was heard of it so far.

Somebody who has said a whole command says no more, and waiting only makes the assistant slow.
Somebody in the middle of a number may be looking at the dial, and must not be cut off.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.language.automaton import Automaton


@dataclass(frozen=True)
class Patience:
    """Quiet that ends an utterance, in seconds, by how far the phrase has come.

    ``whole``: it is complete and nothing can follow. ``open_end``: it is complete, but more may
    follow: a digit, a unit, the rest of a position's name. ``unfinished``: more must follow, or
    nothing was understood yet.

    A value that is cut off in the middle is another value, so ``open_end`` is long. Two of 5,000
    readings by unseen voices were cut at 0.69 s. What is unfinished is no value yet, and may be
    other people's talk before a command.
    """

    whole: float = 0.36
    open_end: float = 1.2
    unfinished: float = 0.81


def quiet_needed(text: str, phrases: Automaton, patience: Patience) -> float:
    """Seconds of quiet after ``text``, the words heard so far, that end the utterance."""
    state = phrases.after(text.split())
    if state is None or state not in phrases.finals:
        return patience.unfinished
    return patience.open_end if phrases.goes_on(state) else patience.whole
