"""Commands that are answered in nearly every state without changing the work."""

from __future__ import annotations

from typing import Literal

from assistant.dialogue import keeping
from assistant.dialogue.commands import ANYTIME
from assistant.dialogue.edition import STALE_IS_DROPPED
from assistant.dialogue.effects import AdjustVoice
from assistant.dialogue.facts import ListeningPaused, TalkChanged
from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.offering import say_help
from assistant.dialogue.order import remaining
from assistant.dialogue.owner import owner_of
from assistant.dialogue.states import Noting, Stopping
from assistant.dialogue.steps import cautions_of, number_of, total
from assistant.dialogue.talk import moved
from assistant.dialogue.turn import Turn
from assistant.dialogue.waiting import say_waits
from assistant.procedure.kinds import kind_of as procedure_kind

_VOICE: dict[str, tuple[Literal["rate", "volume"], int]] = {
    "slower": ("rate", -1),
    "faster": ("rate", 1),
    "louder": ("volume", 1),
    "quieter": ("volume", -1),
}
# How far the voice can be moved from its own rate and volume and still be followed.
_FURTHEST = {"rate": range(-3, 5), "volume": range(-4, 3)}


def answer(turn: Turn, command: str) -> bool:
    """Carry out ``command`` when it is one of these; returns whether it was."""
    turn.aside = command in ANYTIME and command not in ("take_note", "stop_work")
    match command:
        case "repeat":
            repeat(turn)
        case "slower" | "faster" | "louder" | "quieter":
            _adjust(turn, command)
        case "fewer_words" | "more_words":
            _change_talk(turn, 1 if command == "fewer_words" else -1)
        case "where_am_i":
            where_am_i(turn)
        case "what_is_left":
            _what_is_left(turn)
        case "read_cautions":
            _read_cautions(turn)
        case "what_torque":
            _what_torque(turn)
        case "what_limit":
            _what_limit(turn)
        case "digits":
            _digits(turn)
        case "help" | "help_more":
            say_help(turn, more=command == "help_more")
        case "take_note":
            turn.go(Noting(turn.state.awaiting))
            turn.say("note_ask", tone="ask")
        case "attach_picture":
            keeping.ask_picture(turn)
        case "pause_listening" | "resume_listening":
            paused = command == "pause_listening"
            turn.record(ListeningPaused(paused=paused))
            turn.say("listening_paused" if paused else "listening_resumed")
            turn.put(listening=not paused)
        case "stop_work":
            turn.go(Stopping(turn.state.awaiting))
            turn.say("stop_ask", tone="ask")
        case _:
            return False
    return True


def repeat(turn: Turn) -> None:
    """Say the last answer again, each line as it was meant.

    A caution that is cut short while it is repeated must still be heard.
    """
    for line in turn.state.last_lines:
        if turn.state.edition >= STALE_IS_DROPPED:
            turn.say_text(line.text, line.tone, line.about, line.sound)
        else:
            turn.say_text(line.text, sound=line.sound)


def _adjust(turn: Turn, command: str) -> None:
    """Move the voice a step, and keep how far it is moved, so that a resumed job sounds so too."""
    what, step = _VOICE[command]
    moved = (turn.state.rate_steps if what == "rate" else turn.state.volume_steps) + step
    if moved not in _FURTHEST[what]:
        turn.say("voice_furthest")
        return
    turn.put(**{f"{what}_steps": moved})
    turn.effects.append(AdjustVoice(what, step))
    turn.say("voice_" + command)


def _change_talk(turn: Turn, by: int) -> None:
    """Say less or more from now on; it is recorded, and kept for the builder's next sessions."""
    talk = moved(turn.state.talk, by)
    if talk is None:
        turn.say("talk_furthest")
        return
    turn.record(TalkChanged(talk=talk))
    turn.put(talk=talk)
    turn.say("talk_" + talk)


def set_voice_again(turn: Turn) -> None:
    """Set the voice's rate and volume as they were when work stopped."""
    for what, steps in (("rate", turn.state.rate_steps), ("volume", turn.state.volume_steps)):
        if steps:
            turn.effects.append(AdjustVoice("rate" if what == "rate" else "volume", steps))


def where_am_i(turn: Turn) -> None:
    """Say job, step and position; between the steps, what is waited for."""
    if turn.state.step is None:
        waits = turn.state.waits
        turn.say("where_waiting" if waits else "where_no_step", job=turn.state.job,
                 waits=say_waits(turn))  # fmt: skip
        return
    step = turn.step
    turn.say("where", job=turn.state.job, number=number_of(turn, step), total=total(turn),
             title=step.title)  # fmt: skip
    awaiting = turn.state.awaiting
    owner_of(awaiting).say_place(turn, awaiting)


def _what_is_left(turn: Turn) -> None:
    rest = [s for s in remaining(turn.context.procedure, turn.state) if s.id != turn.state.step]
    if not rest:
        turn.say("left_none")
    else:
        turn.say("left", count=len(rest), titles=", ".join(s.title for s in rest[:3]))
    if turn.state.waits:
        turn.say("left_waits", waits=say_waits(turn))


def _read_cautions(turn: Turn) -> None:
    procedure = turn.context.procedure
    texts = [t for s in procedure.steps if procedure_kind(s).is_caution and s.id in
             turn.state.outcomes for t in cautions_of(s)]  # fmt: skip
    if turn.state.step is not None:
        texts += cautions_of(turn.step)
    if not texts:
        turn.say("cautions_none")
    for text in texts:
        turn.say("caution_read", tone="caution", text=text)


def _what_torque(turn: Turn) -> None:
    if turn.state.step is None:
        turn.say("torque_none")
    else:
        kind_of(turn.step).say_torque(turn, turn.step)


def _what_limit(turn: Turn) -> None:
    if turn.state.step is None:
        turn.say("limit_none")
    else:
        kind_of(turn.step).say_limit(turn, turn.step)


def _digits(turn: Turn) -> None:
    """Say the digits of the value said last, which may be that of a step before the open one."""
    state, procedure = turn.state, turn.context.procedure
    for name in reversed(state.history):
        step = procedure.step(name)
        if kind_of(step).has_value(state, step):
            turn.put(step=name)
            kind_of(step).say_digits(turn, step)
            turn.put(step=state.step)
            return
    turn.say("nothing_to_correct")
