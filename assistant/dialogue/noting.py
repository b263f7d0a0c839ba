"""Taking a note: the next thing said is kept as it is."""

from __future__ import annotations

from assistant.dialogue import keeping
from assistant.dialogue.commands import ANYTIME
from assistant.dialogue.context import Context
from assistant.dialogue.owner import KeepsSpeech, MayBeSaid
from assistant.dialogue.repeating import ask_again
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import Noting
from assistant.dialogue.turn import Turn


class TakingNotes(KeepsSpeech[Noting]):
    """A note interrupts the work, which continues after it."""

    states = (Noting,)

    def may_be_said(self, context: Context, state: State, at: Noting) -> MayBeSaid:
        """Anything; it can be left, and every question has its answer, in the middle of it too."""
        return free_speech()

    def keep(
        self, turn: Turn, at: Noting, text: str, clip: str | None, seconds: float | None
    ) -> None:
        """Keep the note."""
        keeping.keep_note(turn, at, text, clip, seconds)
        ask_again(turn)

    def leave(self, turn: Turn, at: Noting) -> None:
        """No note after all."""
        turn.go(at.back)
        turn.say("as_you_were")
        ask_again(turn)

    def ask_again(self, turn: Turn, at: Noting) -> None:
        """Ask for the note."""
        turn.say("note_ask", tone="ask")

    def next_line(self, builder: StandIn, at: Noting) -> str:
        """Some words."""
        return builder.answers.reason


NO_NOTES = ("go_on", "done", "confirm", "go_back", "skip")
"""Commands that are said by habit, and are no words to be kept."""


def free_speech() -> MayBeSaid:
    """Any speech is kept but commands; what was begun can be left."""
    anytime = tuple(c for c in ANYTIME if c != "take_note")
    return MayBeSaid(("wrong", "correction", *NO_NOTES), anytime=anytime, free=True)
