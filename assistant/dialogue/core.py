"""The transition function: (context, state, event) -> (state, effects). Pure."""

from __future__ import annotations

from textwrap import shorten
from typing import assert_never

from assistant.dialogue import (
    interrupting,
    keeping,
    misplaced,
    naming,
    opening,
    resuming,
    steps,
)
from assistant.dialogue.answering import answer_state
from assistant.dialogue.anytime import answer
from assistant.dialogue.context import Context
from assistant.dialogue.effects import Effect, Record
from assistant.dialogue.events import (
    AnyEvent,
    EquipmentChanged,
    Heard,
    Opened,
    PictureFound,
    PictureMissed,
    Resumed,
    SoundMissed,
    SpeechCut,
    TimerElapsed,
)
from assistant.dialogue.expectation import listening
from assistant.dialogue.hearing_freely import hear_freely
from assistant.dialogue.offering import nearest
from assistant.dialogue.owner import Said
from assistant.dialogue.state import State
from assistant.dialogue.turn import Turn
from assistant.language.hypothesis import KEYBOARD, Recognition
from assistant.language.spec import Command
from assistant.language.trust import Act, Again, Ask, Ignored, understand

StateAndEffects = tuple[State, tuple[Effect, ...]]


def advance(context: Context, state: State, event: AnyEvent) -> StateAndEffects:
    """Answer one event. Never fails for anything said; raises only on a programming fault."""
    turn = Turn(context, state, event.at, event.elapsed_ms)
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
        case SoundMissed():
            turn.aside = True  # "repeat" skips this and repeats the pending question
            turn.say("sound_missed", tone="caution")
        case EquipmentChanged():
            _equipment(turn, event)
        case SpeechCut():
            interrupting.cut(turn, event)
        case _:
            assert_never(event)
    return turn.done()


def _hear(turn: Turn, event: Heard) -> None:
    if not turn.state.opened or turn.state.stopped:
        return
    expected = listening(turn.context, turn.state)
    recognition = event.recognition
    if expected.free:
        hear_freely(turn, expected, event)
        return
    understood = understand(turn.context.policy, turn.context.language, expected.spec, recognition)
    if isinstance(understood, Ask) and not turn.state.phrases_asked:
        understood = naming.as_older_sessions(understood)
    if isinstance(understood, Ignored):
        return  # shop noise does nothing, not even a chime
    if isinstance(understood, Again):
        _again(turn, understood, recognition)
        return
    before = turn.state
    _carry_out(turn, understood, recognition.hypotheses[0].text)
    if _faint(turn, recognition) and any(
        isinstance(e, Record) and e.fact.takes_back for e in turn.effects
    ):
        # "correction" may be faint where it has a value repeated; what is recorded it takes back
        # only when it was heard as well as anything else that changes the record
        turn.undo(before)
        turn.chime("again")


def _carry_out(turn: Turn, understood: Ask | Act, heard: str) -> None:
    meaning = understood.meaning
    turn.chime("heard")
    if interrupting.held_back(turn, meaning):
        return
    if meaning == Command("correction") and turn.state.kept is not None:
        keeping.take_back(turn)
        return
    if isinstance(meaning, Command) and answer(turn, meaning.id):
        return
    turn.put(kept=None)
    before = turn.state.awaiting
    why_asked = understood.why if isinstance(understood, Ask) else ""
    answer_state(turn, Said(meaning, heard, why_asked))
    interrupting.taken_back(turn, meaning, before)


def _faint(turn: Turn, recognition: Recognition) -> bool:
    best = recognition.hypotheses[0]
    return recognition.engine != KEYBOARD and best.confidence < turn.context.policy.advance


def _again(turn: Turn, why: Again, recognition: Recognition) -> None:
    """Have it repeated: a chime for a voice, a sentence for a typed line."""
    if recognition.engine != KEYBOARD:
        turn.chime("again")
        return
    turn.aside = True  # "repeat" repeats the instruction, not this
    heard = recognition.hypotheses[0].text
    if not turn.state.listening:
        turn.say("listening_paused", tone="ask")
        return
    if why.why == "unknown" and misplaced.answered(turn, heard):
        return
    key = {"comma": "comma_unclear", "two_numbers": "numbers_unclear"}.get(
        why.why, "not_understood"
    )
    near = nearest(turn, heard) if key == "not_understood" else None
    shown = shorten(heard, 80, placeholder=" ...")
    if near is None:
        turn.say(key, tone="ask", text=shown)
    else:
        turn.say("not_understood_near", tone="ask", text=shown, near=near)


def _equipment(turn: Turn, event: EquipmentChanged) -> None:
    broken = turn.state.broken
    turn.put(broken=broken - {event.part} if event.working else broken | {event.part})
    turn.aside = True  # "repeat" skips this and repeats the pending question
    turn.say("told", tone="plain" if event.working else "caution", sentence=event.detail)
