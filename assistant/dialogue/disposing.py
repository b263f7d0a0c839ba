"""What is decided on a value out of limits: named, given a reason, released by a second person."""

from __future__ import annotations

from typing import Literal

from assistant.dialogue import holding, people
from assistant.dialogue.effects import ASKED
from assistant.dialogue.facts import DispositionDropped, DispositionRecorded
from assistant.dialogue.keeping import say_length
from assistant.dialogue.kinds.judged import judged
from assistant.dialogue.state import LetStand
from assistant.dialogue.states import DispositionReason, OutOfLimit, Release
from assistant.dialogue.turn import Turn
from assistant.procedure.step import Step

MEASURED_AGAIN = ("rework", "replace")  # dispositions that change the part


def position_name(turn: Turn, index: int) -> str:
    """The name of position ``index`` of the open step; empty for a single nameless one."""
    return judged(turn.step).position(turn.context.procedure, turn.step, index)


def name_disposition(turn: Turn, index: int, command: str) -> None:
    """A disposition was named; ask for its reason."""
    disposition = command.removeprefix("disposition_")
    turn.go(DispositionReason(index, disposition))
    turn.say("disposition_reason", tone="ask", disposition=turn.words("name_" + command))


def hear_reason(
    turn: Turn,
    at: DispositionReason,
    text: str,
    clip: str | None,
    seconds: float | None,
) -> None:
    """The reason was given; record the disposition and hold the job.

    A typed reason is read back, a spoken one is kept as its sound of ``seconds``.
    """
    step = turn.step
    whole = None if seconds is None else round(seconds)
    kept = Release(at.index, at.disposition, text, clip, seconds=whole)
    _record(turn, step, kept)
    turn.go(kept)
    if text:
        turn.say("reason_readback", tone="readback", about=ASKED, reason=text)
    else:
        turn.say("reason_kept", length=say_length(turn, seconds))
    turn.say("hold_for_release", tone="caution")
    people.say_longer_initials(turn)


def say_to_be_released(turn: Turn, at: Release) -> None:
    """Read the value, its limits, the disposition and its reason to the one who is to decide."""
    step = turn.step
    judged(step).say_value_at(turn, step, position_name(turn, at.index))
    say_why(turn, "release_reason", at)


def say_why(turn: Turn, key: str, why: Release | LetStand, **params: object) -> None:
    """Say the disposition and its reason by prompt ``key``: typed words are read out, a recording
    is played after the line that tells how long it is."""
    turn.say(
        key,
        tone="readback",
        about=ASKED,
        sound="" if why.reason else why.clip or "",
        disposition=turn.words("name_disposition_" + why.disposition),
        reason=why.reason or turn.words("reason_recorded", length=say_length(turn, why.seconds)),
        **params,
    )


def still_held(turn: Turn) -> bool:
    """Refuse to leave a step that a value out of limits holds, and ask what is to be done.

    Returns whether it did (see ``holding`` for the rule).
    """
    step = turn.step
    names = holding.unanswered(turn.state, step.id)
    if not names:
        return False
    kind = judged(step)
    turn.go(OutOfLimit(kind.index(turn.context.procedure, step, names[0])))
    turn.say("held_ask", tone="caution")
    kind.say_value_at(turn, step, names[0])
    kind.ask_out(turn, step, kind.index(turn.context.procedure, step, names[0]))
    return True


def release(turn: Turn, at: Release, accepted: bool) -> None:
    """The named person released the disposition, or refused to."""
    step = turn.step
    if not accepted:
        drop_disposition(turn, at, "refused")
        turn.go(OutOfLimit(at.index))
        turn.say("release_refused", tone="caution", person=at.person or "")
        judged(step).ask_out(turn, step, at.index)
        return
    _record(turn, step, at)
    if at.disposition not in MEASURED_AGAIN:
        _let_stand(turn, step.id, position_name(turn, at.index), at)
    turn.say("released", person=at.person or "")
    if at.disposition not in MEASURED_AGAIN:  # else whoever asks has it made or measured again
        judged(step).value_stands(turn, step)


def _let_stand(turn: Turn, step: str, position: str, at: Release) -> None:
    state = turn.state
    why = LetStand(at.disposition, at.reason, at.clip, at.seconds)
    referred = tuple(p for p in state.referred.get(step, ()) if p != position)
    if at.disposition == "refer":
        referred = (*referred, position)
    turn.put(
        released={**state.released, step: (*state.released.get(step, ()), position)},
        referred={**state.referred, step: referred},
        let_stand={**state.let_stand, step: {**state.let_stand.get(step, {}), position: why}},
    )


def _record(turn: Turn, step: Step, decided: Release) -> None:
    turn.record(
        DispositionRecorded(
            step=step.id,
            position=position_name(turn, decided.index),
            disposition=decided.disposition,
            reason=decided.reason,
            clip=decided.clip,
            released_by=decided.person,
        )
    )


def drop_disposition(turn: Turn, at: Release, how: Literal["refused", "taken_back"]) -> None:
    """The disposition that awaits release is none any more: refused, or thought better of."""
    step = turn.step
    turn.record(
        DispositionDropped(
            step=step.id,
            position=position_name(turn, at.index),
            disposition=at.disposition,
            how=how,
            person=(at.person or "") if how == "refused" else "",
        )
    )
