"""What is decided on a value out of limits: named, given a reason, released by a second person."""

from __future__ import annotations

from typing import Literal

from assistant.dialogue import deriving, holding, measuring
from assistant.dialogue.effects import ASKED
from assistant.dialogue.facts import DispositionDropped, DispositionRecorded
from assistant.dialogue.keeping import say_length
from assistant.dialogue.measuring import position_name
from assistant.dialogue.state import DispositionReason, OutOfLimit, Release, Review
from assistant.dialogue.turn import Turn
from assistant.procedure.models import DerivedStep, LimitedStep, MeasurementStep

MEASURED_AGAIN = ("rework", "replace")  # dispositions that change the part


def name_disposition(turn: Turn, index: int, command: str) -> None:
    """A disposition was named; ask for its reason."""
    disposition = command.removeprefix("disposition_")
    turn.go(DispositionReason(index, disposition))
    turn.say("disposition_reason", tone="ask", disposition=turn.words("name_" + command))


def hear_reason(
    turn: Turn,
    moment: DispositionReason,
    text: str,
    clip: str | None,
    seconds: float | None,
) -> None:
    """The reason was given; record the disposition and hold the job.

    A typed reason is read back, a spoken one is kept as its sound of ``seconds``.
    """
    step = turn.step
    assert isinstance(step, LimitedStep)
    whole = None if seconds is None else round(seconds)
    kept = Release(moment.index, moment.disposition, text, clip, seconds=whole)
    _record(turn, step, kept)
    turn.go(kept)
    if text:
        turn.say("reason_readback", tone="readback", about=ASKED, reason=text)
    else:
        turn.say("reason_kept", length=say_length(turn, seconds))
    turn.say("hold_for_release", tone="caution")


def say_to_be_released(turn: Turn, moment: Release) -> None:
    """Read the value, its limits, the disposition and its reason to the one who is to decide."""
    step = turn.step
    if isinstance(step, MeasurementStep):
        measuring.say_value(turn, position_name(step, moment.index))
    elif isinstance(step, DerivedStep):
        deriving.say_derived(turn, step, turn.state.held[step.id][""])
    turn.say(
        "release_reason",
        tone="readback",
        about=ASKED,
        disposition=turn.words("name_disposition_" + moment.disposition),
        reason=moment.reason
        or turn.words("reason_recorded", length=say_length(turn, moment.seconds)),
    )


def still_held(turn: Turn) -> bool:
    """Refuse to leave a step that a value out of limits holds, and ask what is to be done.

    Tells whether it did (see ``holding`` for the rule).
    """
    step = turn.step
    names = holding.unanswered(turn.state, step.id)
    if not names:
        return False
    index = step.places.index(names[0]) if isinstance(step, MeasurementStep) else 0
    turn.go(OutOfLimit(index))
    turn.say("held_ask", tone="caution")
    if isinstance(step, MeasurementStep):
        measuring.say_value(turn, names[0])
    elif isinstance(step, DerivedStep):
        deriving.say_derived(turn, step, turn.state.held[step.id][""])
    turn.say("out_of_limit_ask", tone="ask")
    return True


def release(turn: Turn, moment: Release, accepted: bool) -> None:
    """The named person released the disposition, or refused to."""
    step = turn.step
    assert isinstance(step, LimitedStep)
    if not accepted:
        drop_disposition(turn, moment, "refused")
        turn.go(OutOfLimit(moment.index))
        turn.say("release_refused", tone="caution", person=moment.person or "")
        turn.say("out_of_limit_ask", tone="ask")
        return
    _record(turn, step, moment)
    if moment.disposition in MEASURED_AGAIN:
        # The old value is not that of the part as it is now.
        turn.say("released", person=moment.person or "")
        if isinstance(step, MeasurementStep):
            measuring.correct(turn, moment.index)
        else:
            turn.go(OutOfLimit(moment.index))  # until what it was computed from is measured
        return
    name = position_name(step, moment.index)
    _let_stand(turn, step.id, name, moment.disposition)
    turn.say("released", person=moment.person or "")
    if isinstance(step, MeasurementStep):
        measuring.ask_next(turn)
    elif isinstance(step, DerivedStep) and step.id not in turn.state.derived:
        deriving.derive(turn, step)  # its readings were taken back meanwhile
    else:
        turn.go(Review())
        turn.say("review_go_on")


def _let_stand(turn: Turn, step: str, position: str, disposition: str) -> None:
    state = turn.state
    referred = tuple(p for p in state.referred.get(step, ()) if p != position)
    if disposition == "refer":
        referred = (*referred, position)
    turn.put(
        released={**state.released, step: (*state.released.get(step, ()), position)},
        referred={**state.referred, step: referred},
    )


def _record(turn: Turn, step: LimitedStep, decided: Release) -> None:
    turn.record(
        DispositionRecorded(
            step=step.id,
            position=position_name(step, decided.index),
            disposition=decided.disposition,
            reason=decided.reason,
            clip=decided.clip,
            released_by=decided.person,
        )
    )


def drop_disposition(turn: Turn, moment: Release, how: Literal["refused", "taken_back"]) -> None:
    """The disposition that awaits release is none any more: refused, or thought better of."""
    step = turn.step
    assert isinstance(step, LimitedStep)
    turn.record(
        DispositionDropped(
            step=step.id,
            position=position_name(step, moment.index),
            disposition=moment.disposition,
            how=how,
            person=(moment.person or "") if how == "refused" else "",
        )
    )
