"""The transition function: (context, state, event) -> (state, effects). Pure."""

from __future__ import annotations

import re
from collections.abc import Iterable
from textwrap import shorten
from typing import assert_never

from assistant.dialogue import disposing, interrupting, keeping, opening, resuming, steps
from assistant.dialogue.answering import answer_moment
from assistant.dialogue.anytime import answer
from assistant.dialogue.context import Context
from assistant.dialogue.doubt import KEYBOARD
from assistant.dialogue.effects import Effect
from assistant.dialogue.events import (
    AnyEvent,
    EquipmentChanged,
    Heard,
    Opened,
    PictureFound,
    PictureMissed,
    Resumed,
    SpeechCut,
    TimerElapsed,
)
from assistant.dialogue.expectation import Expectation, listening
from assistant.dialogue.repeating import ask_again
from assistant.dialogue.state import DispositionReason, Noting, State
from assistant.dialogue.turn import Turn
from assistant.language.hypothesis import Recognition
from assistant.language.spec import Command, Meaning, Reading

_COMMA = re.compile(r"\d,\d")
MOVES_ON = ("go_on", "done", "understood", "accept")
"""Commands that move the work on: other talk taken for one of them would do the most harm."""

Outcome = tuple[State, tuple[Effect, ...]]


def advance(context: Context, state: State, event: AnyEvent) -> Outcome:
    """Answer one event. Never fails for anything said; raises only on a programming fault."""
    turn = Turn(context, state, event.at)
    match event:
        case Opened():
            opening.open_session(turn, event)
        case Heard():
            _hear(turn, event)
        case TimerElapsed(step=step):
            steps.end_wait(turn, step)
        case Resumed():
            resuming.resume(turn, event)
        case PictureFound():
            keeping.attach(turn, event)
        case PictureMissed():
            keeping.miss(turn, event)
        case EquipmentChanged():
            _equipment(turn, event)
        case SpeechCut():
            interrupting.cut(turn, event)
        case _:
            assert_never(event)
    return turn.done()


def replay(context: Context, events: Iterable[AnyEvent]) -> State:
    """The state that a session's events lead to."""
    state = State()
    for event in events:
        state, _ = advance(context, state, event)
    return state


def _hear(turn: Turn, event: Heard) -> None:
    if not turn.state.opened or turn.state.stopped:
        return
    expected = listening(turn.context, turn.state)
    recognition = event.recognition
    if expected.free:
        _keep_speech(turn, event)
        return
    if not recognition.hypotheses:
        return  # shop noise does nothing, not even a chime
    best = recognition.hypotheses[0]
    if recognition.engine == KEYBOARD and _COMMA.search(best.text):
        # "1,500" is fifteen hundred to one builder and one and a half to another
        turn.say("comma_unclear", tone="ask", text=shorten(best.text, 80, placeholder=" ..."))
        return
    meanings = turn.context.language.interpret(expected.spec, best.text)
    if recognition.engine == KEYBOARD and len(meanings) != 1:
        turn.say("not_understood", tone="ask", text=shorten(best.text, 80, placeholder=" ..."))
        return
    if len(meanings) != 1 or best.confidence < turn.context.policy.reject:
        turn.chime("again")
        return
    meaning = meanings[0]
    moves_on = isinstance(meaning, Command) and meaning.id in MOVES_ON
    if moves_on and best.confidence < turn.context.policy.advance:
        turn.chime("again")
        return
    if not isinstance(meaning, Reading) and not _second_agrees(
        turn, expected, recognition, meaning
    ):
        turn.chime("again")
        return
    turn.chime("heard")
    if interrupting.held_back(turn, meaning):
        return
    if meaning == Command("correction") and turn.state.kept is not None:
        keeping.take_back(turn)
        return
    if isinstance(meaning, Command) and answer(turn, meaning.id):
        return
    turn.put(kept=None)
    answer_moment(turn, expected, recognition, meaning)


def _second_agrees(
    turn: Turn, expected: Expectation, recognition: Recognition, meaning: Meaning
) -> bool:
    # A second listener that made out nothing of the grammar does not outvote the first on a
    # command; one that made out another command does.
    if not recognition.second:
        return True
    others = turn.context.language.interpret(expected.spec, recognition.second)
    return not others or meaning in others


def _keep_speech(turn: Turn, event: Heard) -> None:
    moment, recognition, clip = turn.state.moment, event.recognition, event.clip
    # Only typed words are trusted as text; spoken ones are kept as the recording itself.
    typed = recognition.engine == KEYBOARD and recognition.hypotheses
    text = recognition.hypotheses[0].text if typed else ""
    if isinstance(moment, Noting):
        keeping.keep_note(turn, moment, text, clip, event.seconds)
        ask_again(turn)
    elif isinstance(moment, DispositionReason):
        length = keeping.say_length(turn, event.seconds)
        disposing.hear_reason(turn, moment, text, clip, length)


def _equipment(turn: Turn, event: EquipmentChanged) -> None:
    broken = turn.state.broken
    turn.put(broken=broken - {event.part} if event.working else broken | {event.part})
    turn.aside = True  # "repeat" goes back behind it, to what is awaited
    turn.say("told", tone="plain" if event.working else "caution", sentence=event.detail)
