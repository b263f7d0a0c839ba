"""Blades: how to say what they do, and whether they can give what a later step needs."""

from __future__ import annotations

from assistant.dialogue.gauging import gauge_in_hand
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds import kind_of
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.models import Procedure
from assistant.procedure.places import reference
from assistant.procedure.step import GaugedStep, Step
from assistant.quantities.amount import Amount
from assistant.quantities.intervals import by_size


def teach(turn: Turn, step: MeasurementStep) -> None:
    """At the first blade of a session, how to say it; where one value is needed, that."""
    gauge = gauge_in_hand(turn.context.procedure, turn.state, step.gauge)
    if gauge.kind != "feeler":
        return
    if single_needed(turn.context.procedure, step):
        turn.say("blades_find")
        turn.say_short("single_needed")
    elif not _used_before(turn) and len(gauge.members) > 1:
        small, large = _neighbours(gauge.members)
        say = turn.context.language.say_amount
        told = turn.words("blades_how", small=say(small), large=say(large))
        if turn.state.talk == "brief":
            turn.show_text(told)
        else:
            turn.say_text(told)


def single_needed(procedure: Procedure, step: Step) -> bool:
    """Whether a later step counts with the value: an interval would not do."""
    return any(
        step.id in kind_of(later).inputs(later)
        or (
            isinstance(later, GaugedStep)
            and later.around is not None
            and reference(later.around).step == step.id
        )
        for later in procedure.steps
    )


def _used_before(turn: Turn) -> bool:
    """Whether an earlier step of the session was read with blades."""
    procedure = turn.context.procedure
    earlier = (procedure.step(name) for name in turn.state.history if name != turn.step.id)
    return any(
        isinstance(s, GaugedStep) and gauge_in_hand(procedure, turn.state, s.gauge).kind == "feeler"
        for s in earlier
    )


def _neighbours(members: tuple[Amount, ...]) -> tuple[Amount, Amount]:
    """Two blades from the middle of a set, which show how they are said."""
    sizes = by_size(members)
    at = (len(sizes) - 1) // 2
    return sizes[at], sizes[at + 1]
