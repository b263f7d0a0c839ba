"""The values of the open step that are read out, and their gauges."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Literal

from assistant.dialogue.effects import about
from assistant.dialogue.gauging import gauge_in_hand
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed, ReadingSuperseded
from assistant.dialogue.kinds.measurement.limits_now import with_limits
from assistant.dialogue.state import State, Value
from assistant.dialogue.turn import Turn
from assistant.procedure.listed import Gauge
from assistant.procedure.step import GaugedStep, ReadStep
from assistant.quantities.amount import Amount


def read_step(turn: Turn) -> ReadStep:
    """The open step, which has values that are read out."""
    step = turn.step
    assert isinstance(step, ReadStep)
    return step


def measurement(turn: Turn, place: str) -> GaugedStep:
    """What is read at a place of the open step, with the limits that it has now."""
    return with_limits(turn.context.procedure, turn.state, read_step(turn).at(place))


def gauge_of(turn: Turn, place: str) -> Gauge:
    """The gauge in hand at a place of the open step."""
    return gauge_in_hand(turn.context.procedure, turn.state, measurement(turn, place).gauge)


def row_of(state: State, step: ReadStep) -> int:
    """The row that is being read; all of a measurement is one row."""
    run = state.logs.get(step.id)
    return 0 if run is None else run.row


def asked(turn: Turn) -> Sequence[int]:
    """The places of the open step that are read together now."""
    step = read_step(turn)
    return step.asked(row_of(turn.state, step))


def values_of(turn: Turn) -> Mapping[str, Value]:
    """The present values of the open step, by position."""
    return turn.state.values.get(turn.step.id, {})


def open_values(turn: Turn) -> list[str]:
    """The places that are read together now and have a value, the one said last at the end."""
    places = read_step(turn).places
    now = {places[index] for index in asked(turn)}
    return [name for name in values_of(turn) if name in now]


def standing(turn: Turn) -> list[str]:
    """The places whose value does not count yet."""
    run = turn.state.logs.get(turn.step.id)
    return [name for name in values_of(turn) if run is None or name not in run.counted]


def guard(step: GaugedStep, gauge: Gauge) -> Amount | None:
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
    run = turn.state.logs.get(step.id)
    if run is not None:
        counted = tuple(p for p in run.counted if p != position)
        turn.put(logs={**turn.state.logs, step.id: replace(run, counted=counted)})
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
    """The builder goes on: from now on what was read counts."""
    new = set(standing(turn))
    for name in read_step(turn).places:
        if name not in new:
            continue
        step, value = measurement(turn, name), values_of(turn)[name]
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
                read_at=value.read_at,
                due=value.due,
                late_s=value.late_s,
            )
        )
