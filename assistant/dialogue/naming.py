"""A position, label or name that sounds like another: asked about before it counts."""

from __future__ import annotations

from assistant.dialogue.commands import YES_NO
from assistant.dialogue.context import Context
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner, owner_of
from assistant.dialogue.repeating import ask_again
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import PhraseReadback
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, Phrase
from assistant.language.trust import Act, Again, Ask


def asked_about(turn: Turn, said: Said) -> bool:
    """Ask about a phrase that may have been another; returns whether it was asked about.

    A state that reads its phrases back in any case asks by that.
    """
    at = turn.state.awaiting
    if not said.why_asked or not isinstance(said.meaning, Phrase):
        return False
    if owner_of(at).reads_phrases_back:
        return False
    turn.go(PhraseReadback(said.meaning.id, said.heard, at))
    ask_again(turn)
    return True


def as_older_sessions(asked: Ask) -> Ask | Act | Again:
    """What was done before phrases were asked about, so that older sessions replay."""
    if not isinstance(asked.meaning, Phrase):
        return asked
    return Again("unsure", asked.meaning) if asked.why == "alternative" else Act(asked.meaning)


class Naming(StateOwner[PhraseReadback]):
    """It counts only when the builder says that it was heard right."""

    states = (PhraseReadback,)

    def may_be_said(self, context: Context, state: State, at: PhraseReadback) -> MayBeSaid:
        """Yes or no."""
        return MayBeSaid(YES_NO)

    def answer(self, turn: Turn, at: PhraseReadback, said: Said) -> bool:
        """Take it as it was heard, or have it repeated."""
        match said.meaning:
            case Command(id="confirm"):
                turn.go(at.back)
                return owner_of(at.back).answer(turn, at.back, Said(Phrase(at.phrase), at.words))
            case Command(id="wrong"):
                turn.go(at.back)
                ask_again(turn)
            case _:
                return False
        return True

    def ask_again(self, turn: Turn, at: PhraseReadback) -> None:
        """Say what was heard."""
        turn.read_back("phrase_readback", words=at.words)

    def next_line(self, builder: StandIn, at: PhraseReadback) -> str:
        """Right only if it is what is to be said there."""
        return builder.agree(owner_of(at.back).next_line(builder, at.back) == at.words)
