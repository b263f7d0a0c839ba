"""What is decided on a value out of limits: named, given a reason, released by a second person."""

from __future__ import annotations

from typing import Literal

from assistant.dialogue import measuring
from assistant.dialogue.facts import DispositionDropped, DispositionRecorded
from assistant.dialogue.measuring import position_name
from assistant.dialogue.state import DispositionReason, OutOfLimit, Release, Review
from assistant.dialogue.turn import Turn
from assistant.procedure.models import LimitedStep, MeasurementStep

MEASURED_AGAIN = ("rework", "replace")  # dispositions that change the part


def name_disposition(turn: Turn, index: int, command: str) -> None:
    """A disposition was named; ask for its reason."""
    disposition = command.removeprefix("disposition_")
    turn.go(DispositionReason(index, disposition))
    turn.say("disposition_reason", tone="ask", disposition=turn.words("name_" + command))


def hear_reason(
    turn: Turn, moment: DispositionReason, text: str, clip: str | None, length: str = ""
) -> None:
    """The reason was given; record the disposition and hold the job. ``length`` in words."""
    step = turn.step
    assert isinstance(step, LimitedStep)
    kept = Release(moment.index, moment.disposition, text, clip)
    _record(turn, step, kept)
    turn.go(kept)
    turn.say("reason_kept", length=length)
    turn.say("hold_for_release", tone="caution")


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
    done = turn.state.released.get(step.id, ())
    name = position_name(step, moment.index)
    turn.put(released={**turn.state.released, step.id: (*done, name)})
    turn.say("released", person=moment.person or "")
    if isinstance(step, MeasurementStep):
        measuring.ask_next(turn)
    else:
        turn.go(Review())
        turn.say("review_go_on")


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
