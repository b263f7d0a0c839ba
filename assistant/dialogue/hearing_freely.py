"""What is said where any speech is kept, as a note or a reason: kept, unless it is a command."""

from __future__ import annotations

from typing import Any

from assistant.dialogue.answering import answer_state
from assistant.dialogue.anytime import answer
from assistant.dialogue.edition import COMMANDS_IN_NOTES
from assistant.dialogue.events import Heard
from assistant.dialogue.expectation import Expectation, listening
from assistant.dialogue.noting import NO_NOTES
from assistant.dialogue.owner import KeepsSpeech, Said, owner_of
from assistant.dialogue.repeating import ask_again
from assistant.dialogue.states import Noting
from assistant.dialogue.turn import Turn
from assistant.language.hypothesis import KEYBOARD
from assistant.language.spec import Command
from assistant.language.trust import Act, understand


def hear_freely(turn: Turn, expected: Expectation, event: Heard) -> None:
    """Keep what was said as a note or a reason, unless it is one of the commands."""
    context, recognition = turn.context, event.recognition
    # nobody was asked for a command: most of what is said here is something else
    policy = context.policy.where_unasked()
    understood = understand(policy, context.language, expected.spec, recognition)
    if not isinstance(understood, Act) or not isinstance(understood.meaning, Command):
        _keep_speech(turn, event)
        return
    turn.chime("heard")
    _obey(turn, understood.meaning.id)


def _obey(turn: Turn, command: str) -> None:
    at = turn.state.awaiting
    newer = turn.state.edition >= COMMANDS_IN_NOTES
    if newer and command == "go_back":
        _go_back(turn)
    elif newer and command == "take_note":
        _keeper(turn).ask_again(turn, at)  # it is being taken
    elif command in NO_NOTES:
        turn.aside = True
        phrase = turn.context.language.phrase_for(command)
        turn.say("no_note", tone="ask", phrase=phrase)
    elif not answer(turn, command):
        _keeper(turn).leave(turn, at)
    elif command in ("help", "help_more"):
        return  # which names what is awaited
    elif turn.state.awaiting == at and turn.state.listening:
        ask_again(turn)


def _go_back(turn: Turn) -> None:
    """Leave the note or reason, of which nothing was said yet, and go back from where it began."""
    at = turn.state.awaiting
    if isinstance(at, Noting):
        turn.go(at.back)
    else:
        _keeper(turn).leave(turn, at)
    if isinstance(owner_of(turn.state.awaiting), KeepsSpeech):
        _go_back(turn)  # a note within a reason
    elif "go_back" in listening(turn.context, turn.state).spec.commands:
        heard = turn.context.language.phrase_for("go_back")
        answer_state(turn, Said(Command("go_back"), heard))
    else:
        turn.say("as_you_were")
        ask_again(turn)


def _keep_speech(turn: Turn, event: Heard) -> None:
    recognition = event.recognition
    # Only typed words are trusted as text; spoken ones are kept as the recording itself.
    typed = recognition.engine == KEYBOARD and recognition.hypotheses
    text = recognition.hypotheses[0].text if typed else ""
    _keeper(turn).keep(turn, turn.state.awaiting, text, event.clip, event.seconds)


def _keeper(turn: Turn) -> KeepsSpeech[Any]:
    keeper = owner_of(turn.state.awaiting)
    assert isinstance(keeper, KeepsSpeech)
    return keeper
