"""Taking a note: the next thing said is kept as it is."""

from __future__ import annotations

from assistant.dialogue import keeping
from assistant.dialogue.commands import ANYTIME
from assistant.dialogue.context import Context
from assistant.dialogue.edition import COMMANDS_IN_NOTES
from assistant.dialogue.owner import KeepsSpeech, MayBeSaid
from assistant.dialogue.repeating import ask_again
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import Noting
from assistant.dialogue.turn import Turn


class TakingNotes(KeepsSpeech[Noting]):
    """A note interrupts the work, which continues after it."""

    states = (Noting,)
    what = "note"

    def may_be_said(self, context: Context, state: State, at: Noting) -> MayBeSaid:
        """Anything; it can be left, and every question has its answer, in the middle of it too."""
        return free_speech(state)

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

    def not_offered(self, context: Context, state: State, at: Noting) -> tuple[str, ...]:
        """What is said by habit."""
        return SAID_IN_VAIN

    def ask_again(self, turn: Turn, at: Noting) -> None:
        """Ask for the note."""
        turn.say("note_ask", tone="ask")

    def next_line(self, builder: StandIn, at: Noting) -> str:
        """Some words."""
        return builder.answers.reason


NO_NOTES = ("go_on", "done", "confirm", "go_back", "skip", "understood", "remeasure", "missed")
"""Commands that are said by habit, and are no words to be kept."""

_LEAVES = ("wrong", "correction", "cancel_note")
SAID_IN_VAIN = ("wrong", "correction", *(c for c in NO_NOTES if c != "go_back"))
"""What need not be offered: the note is cancelled by the command that names it."""

_OLDER = ("wrong", "correction", *NO_NOTES[:5])


def free_speech(state: State) -> MayBeSaid:
    """Any speech is kept but commands; what was begun can be left.

    Words around a command make it words of the note: only a whole utterance is a command.
    """
    if state.edition < COMMANDS_IN_NOTES:
        anytime = tuple(c for c in ANYTIME if c != "take_note")
        return MayBeSaid(_OLDER, anytime=anytime, free=True)
    return MayBeSaid((*_LEAVES, *NO_NOTES), anytime=ANYTIME, free=True)
