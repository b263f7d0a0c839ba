"""The transition function: (context, state, event) -> (state, effects). Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from textwrap import shorten

from assistant.dialogue import measuring, opening, steps
from assistant.dialogue.answering import answer_moment
from assistant.dialogue.anytime import answer, set_voice_again, where_am_i
from assistant.dialogue.context import Context
from assistant.dialogue.doubt import KEYBOARD
from assistant.dialogue.effects import Effect, EndSession, StartTimer
from assistant.dialogue.events import (
    AnyEvent,
    EquipmentChanged,
    Heard,
    Opened,
    Resumed,
    TimerElapsed,
)
from assistant.dialogue.expectation import Expectation, listening
from assistant.dialogue.facts import NoteTaken
from assistant.dialogue.repeating import ask_again, say_standing
from assistant.dialogue.state import (
    Blocked,
    DigitCheck,
    DispositionReason,
    Ended,
    GoingBack,
    Inspecting,
    Measuring,
    Noting,
    Release,
    Skipping,
    State,
    Stopping,
    Tightening,
    TorqueAcknowledge,
)
from assistant.dialogue.turn import Turn
from assistant.language.hypothesis import Recognition
from assistant.language.spec import Command, Meaning, Reading

_WITH_TOOL = (Measuring, DigitCheck, TorqueAcknowledge, Tightening)  # the tool is yet to be used
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
            _resume(turn, event)
        case EquipmentChanged():
            _equipment(turn, event)
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
        _keep_speech(turn, recognition, event.clip)
        return
    if not recognition.hypotheses:
        return  # shop noise does nothing, not even a chime
    best = recognition.hypotheses[0]
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
    if isinstance(meaning, Command) and answer(turn, meaning.id):
        return
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


def _keep_speech(turn: Turn, recognition: Recognition, clip: str | None) -> None:
    moment = turn.state.moment
    # Only typed words are trusted as text; spoken ones are kept as the recording itself.
    typed = recognition.engine == KEYBOARD and recognition.hypotheses
    text = recognition.hypotheses[0].text if typed else ""
    if isinstance(moment, Noting):
        turn.record(NoteTaken(step=turn.state.step, text=text, clip=clip))
        turn.go(moment.back)
        turn.say("note_kept")
        ask_again(turn)
    elif isinstance(moment, DispositionReason):
        measuring.hear_reason(turn, moment, text, clip)


def _resume(turn: Turn, event: Resumed) -> None:
    turn.put(stopped=False, listening=True, broken=frozenset())
    set_voice_again(turn)
    if isinstance(turn.state.moment, Ended):
        turn.say("already_finished")
        turn.effects.append(EndSession("finished"))
        return
    while isinstance(turn.state.moment, Stopping | Noting | Skipping | GoingBack):
        turn.go(turn.state.moment.back)
    if isinstance(turn.state.moment, Release | Inspecting):
        # whoever was named may have left: they name themselves again
        turn.go(replace(turn.state.moment, person=None))
    if event.bench is not None:
        turn.put(bench=event.bench)
    for step, until in turn.state.waits.items():
        turn.effects.append(StartTimer(step, until))
    turn.say("resumed")
    where_am_i(turn)
    if turn.state.waits:
        turn.say("left_waits", waits=steps.say_waits(turn))
    if isinstance(turn.state.moment, Blocked):
        steps.begin(turn)  # what blocked the step may have been put right meanwhile
        return
    say_standing(turn)
    if isinstance(turn.state.moment, _WITH_TOOL) and steps.blocked_by_tool(turn):
        return  # another bench, or its calibration has run out meanwhile
    ask_again(turn)


def _equipment(turn: Turn, event: EquipmentChanged) -> None:
    broken = turn.state.broken
    turn.put(broken=broken - {event.part} if event.working else broken | {event.part})
    turn.say_text(event.detail, tone="plain" if event.working else "caution")
