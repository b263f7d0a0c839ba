"""The values of the open measurement, and its gauge."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from assistant.dialogue.effects import about
from assistant.dialogue.gauging import gauge_in_hand
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed, ReadingSuperseded
from assistant.dialogue.kinds.measurement.limits_now import with_limits
from assistant.dialogue.state import Value
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.listed import Gauge
from assistant.quantities.amount import Amount


def measurement(turn: Turn) -> MeasurementStep:
    """The open step, which is a measurement here, with the limits that it has now."""
    step = turn.step_as(MeasurementStep)
    return with_limits(turn.context.procedure, turn.state, step)


def gauge_of(turn: Turn) -> Gauge:
    """The gauge in hand at the open step."""
    return gauge_in_hand(turn.context.procedure, turn.state, measurement(turn).gauge)


def values_of(turn: Turn) -> Mapping[str, Value]:
    """The present values of the open step, by position."""
    return turn.state.values.get(turn.step.id, {})


def guard(step: MeasurementStep, gauge: Gauge) -> Amount | None:
    """By how much the limits are drawn in for blades, plugs and rings: the U of their sizes."""
    return gauge.uncertainty if step.rule == "guarded" else None


def supersede(
    turn: Turn, position: str, why: Literal["correction", "remeasure", "reopened", "adjusted"]
) -> None:
    """The value of ``position`` no longer counts; it stays in the journal."""
    step = turn.step
    have = dict(values_of(turn))
    if position not in have:
        return
    del have[position]
    turn.not_owed(about(step.id, position))
    turn.put(values={**turn.state.values, step.id: have})
    released = turn.state.released.get(step.id, ())
    turn.put(released={**turn.state.released, step.id: tuple(p for p in released if p != position)})
    turn.record(
        ReadingSuperseded(
            step=step.id,
            position=position,
            why=why,
        )
    )


def confirm_all(turn: Turn) -> None:
    """The builder goes on: from now on the readings of the step count."""
    step = measurement(turn)
    for name in step.places:
        value = values_of(turn)[name]
        turn.record(
            ReadingConfirmed(
                step=step.id,
                position=name,
                quantity=step.quantity,
                indication=value.indication,
                limits=step.limits,
                judgement=value.judgement,
                gauge=step.gauge,
                how=value.how,
                tool=value.tool,
                tool_name=value.tool_name,
                uncertainty=value.uncertainty,
            )
        )
