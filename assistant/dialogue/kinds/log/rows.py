"""The rows of a log: begun, due, read, missed, and the end of it.

The timer of the log runs from one row to the next, whatever is said meanwhile, so that a row is
due at its time even while the one before it is still being read.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from assistant.dialogue import disposing, holding, tooling, waiting, wall_clock
from assistant.dialogue.effects import StartTimer, about
from assistant.dialogue.kinds.log.facts import LogBegunAgain, LogEnded, LogStarted, RowMissed
from assistant.dialogue.kinds.log.settling import change, seen_change, settled
from assistant.dialogue.kinds.log.states import BetweenRows, LogOffered
from assistant.dialogue.kinds.log.taking import all_at_end
from assistant.dialogue.kinds.measurement import measuring, values
from assistant.dialogue.kinds.measurement.states import DigitCheck, Measuring
from assistant.dialogue.state import LogRun, Value
from assistant.dialogue.states import OutOfLimit, Review, underlying
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.log import LogStep
from assistant.procedure.kinds.log.model import SETTLED
from assistant.quantities.limits import Limits, judge


def run_of(turn: Turn) -> LogRun:
    """How far the open log is."""
    return turn.state.logs[turn.step.id]


def _put(turn: Turn, run: LogRun) -> None:
    turn.put(logs={**turn.state.logs, turn.step.id: run})


def start(turn: Turn) -> None:
    """The log starts now."""
    step = turn.step_as(LogStep)
    turn.record(LogStarted(step=step.id, started=turn.at, every=step.every, duration=step.for_))
    _put(turn, LogRun(turn.at, (), (), turn.state.boot))
    waiting.start(turn, step)
    if step.at_start:
        run = replace(run_of(turn), due=(turn.at,), due_ms=(turn.elapsed_ms,))
        _put(turn, run)
        if step.furthest == 0:
            waiting.over(turn, step.id)
        begin_row(turn, 0)
    else:
        between(turn)


def between(turn: Turn) -> None:
    """Wait for the next row, and say when it is due."""
    turn.go(BetweenRows())
    say_next(turn)


def say_next(turn: Turn) -> None:
    """Say when the next row is due."""
    left = waiting.left(turn, turn.step.id)
    clock = wall_clock.over_at(turn, left)
    if clock:
        turn.say("log_next_at", clock=clock)
    else:
        turn.say("log_next", count=max(1, -(-left // timedelta(minutes=1))))


def begin_row(turn: Turn, row: int) -> None:
    """Ask for the values of ``row``."""
    step = turn.step_as(LogStep)
    _put(turn, replace(run_of(turn), row=row))
    if tooling.blocked_meanwhile(turn):
        return  # a calibration may have run out since the log began
    total = max(step.planned, row) + 1
    turn.say("log_row", tone="ask", number=row + 1, total=total)
    measuring.ask_next(turn)


def ring(turn: Turn, step: LogStep) -> None:
    """The timer went off: every row whose time has come is due, and the next timer is set."""
    while step.id in turn.state.waits and waiting.left(turn, step.id) <= timedelta():
        make_due(turn, step)


def make_due(turn: Turn, step: LogStep) -> None:
    """The next row is due at the instant that its timer is set to."""
    run = turn.state.logs[step.id]
    due, due_ms = turn.state.waits[step.id], turn.state.wait_ends.get(step.id)
    run = replace(
        run, due=(*run.due, due), due_ms=(*run.due_ms, due_ms), boot=turn.state.boot
    ) if run.boot == turn.state.boot else replace(
        # nobody knows what the clock of another run of the machine would show now
        run, due=(*run.due, due), due_ms=(*(None for _ in run.due_ms), due_ms),
        boot=turn.state.boot,
    )  # fmt: skip
    turn.put(logs={**turn.state.logs, step.id: run})
    if len(run.due) > step.furthest:
        waiting.over(turn, step.id)
    else:
        waiting.once_more(turn, step)
        turn.effects.append(StartTimer(step.id, turn.state.waits[step.id]))


def told_due(turn: Turn) -> None:
    """A row is due: ask for it where nothing else is being answered, or say so."""
    at = turn.state.awaiting
    untouched = isinstance(at, Measuring) and not at.evidence and not values.open_values(turn)
    if isinstance(at, BetweenRows) or untouched:
        catch_up(turn)
    elif isinstance(underlying(at), BetweenRows | Measuring | DigitCheck | Review):
        turn.say("log_due")


def catch_up(turn: Turn) -> None:
    """Go on to the row that was due last; those before it that were not read are missed."""
    step, run = turn.step_as(LogStep), run_of(turn)
    latest = len(run.due) - 1
    begun = bool(values.open_values(turn))
    first = run.row + 1 if begun else run.row
    if latest < first:
        between(turn)
        return
    for row in range(first, latest):
        turn.record(RowMissed(step=step.id, row=row, due=run.due[row]))
    missed = tuple(range(first, latest))
    if missed:
        _put(turn, replace(run_of(turn), missed=(*run.missed, *missed)))
        turn.say("log_missed", tone="caution", count=len(missed))
    begin_row(turn, latest)


def row_read(turn: Turn) -> bool:
    """A row counts: the next, the wait for it, or the end; tells whether the log goes on."""
    step, run = turn.step_as(LogStep), run_of(turn)
    _put(turn, replace(run, counted=(*run.counted, *values.standing(turn))))
    row = run.row
    if step.settled is not None and row >= step.earliest and settled(turn.state, step, row):
        holding.end_hold(turn, step.id, SETTLED)
        return not _may_end(turn, "settled")
    if row < (step.planned if step.settled is None else step.furthest):
        catch_up(turn)
        return True
    if step.settled is None:
        return not _may_end(turn, "time")
    _hold_unsettled(turn, step)
    return True


def is_running(turn: Turn) -> bool:
    """Whether a row of the open log is still to come, or is due and not read."""
    run = run_of(turn)
    return turn.step.id in turn.state.waits or len(run.due) - 1 > run.row


def _may_end(turn: Turn, how: str) -> bool:
    """Whether the log is over; a value that was never put right still holds it."""
    step = turn.step_as(LogStep)
    if holding.unanswered(turn.state, step.id):
        if is_running(turn):
            catch_up(turn)
        else:
            disposing.still_held(turn)
        return False
    record_end(turn, how)
    return True


def record_end(turn: Turn, how: str) -> None:
    """The log is over."""
    step, run = turn.step_as(LogStep), run_of(turn)
    found = None if step.settled is None else change(turn.state, step, run.row)
    turn.record(
        LogEnded.model_validate(
            {
                "step": step.id,
                "how": how,
                "rows": run.row + 1,
                "missed": len(run.missed),
                "change": found,
                "within": step.settled.within if step.settled else None,
                "over": step.settled.over if step.settled else None,
            }
        )
    )
    waiting.over(turn, step.id)
    turn.put(logged={**turn.state.logged, step.id: all_at_end(turn.state, step)})
    turn.say(f"log_ended_{how}", rows=run.row + 1)
    if run.missed:
        turn.say("log_ended_missed", tone="caution", count=len(run.missed))


def _hold_unsettled(turn: Turn, step: LogStep) -> None:
    """Nothing settled in the longest time: that is decided on like a value out of limits."""
    assert step.settled is not None
    waiting.over(turn, step.id)
    within = step.settled.within
    shown = seen_change(turn.state, step, run_of(turn).row)
    value = Value(shown, judge(shown, Limits(None, within), within.unit), "readback")
    _put(turn, replace(run_of(turn), counted=(*run_of(turn).counted, SETTLED)))
    store = {**turn.state.values.get(step.id, {}), SETTLED: value}
    turn.put(values={**turn.state.values, step.id: store})
    holding.hold(turn, step.id, SETTLED, value)
    turn.go(OutOfLimit(step.places.index(SETTLED)))
    say_unsettled(turn, step)
    turn.say("log_unsettled_ask", tone="ask")


def say_unsettled(turn: Turn, step: LogStep) -> None:
    """Say by how much the values still change."""
    assert step.settled is not None
    say = turn.context.language.say_amount
    held = turn.state.held[step.id][SETTLED].indication
    known = held.relation == "eq"
    turn.say(
        "log_unsettled" if known else "log_unsettled_missed",
        tone="readback",
        about=about(step.id, SETTLED),
        change=say(held.amount) if known else "",
        over=say(step.settled.over),
        within=say(step.settled.within),
    )


def begin_again(turn: Turn) -> None:
    """All of it again, from the start: the part is not what it was."""
    step = turn.step_as(LogStep)
    if step.id in turn.state.logs:
        for name in list(values.values_of(turn)):
            values.supersede(turn, name, "remeasure")
        drop(turn, step)
        turn.record(LogBegunAgain(step=step.id))
        turn.say("log_again")
    turn.go(LogOffered())
    turn.say("log_ask", tone="ask", **log_words(turn, step))


def drop(turn: Turn, step: LogStep) -> None:
    """The log is as if it had not begun."""
    waiting.over(turn, step.id)
    turn.put(logs={s: run for s, run in turn.state.logs.items() if s != step.id})


def log_words(turn: Turn, step: LogStep) -> dict[str, str]:
    """How often, and for how long, in words."""
    say = turn.context.language.say_amount
    return {"every": say(step.every), "duration": say(step.for_)}


def seconds_early(turn: Turn) -> float:
    """How long before its time the next row would be read now."""
    return waiting.left(turn, turn.step.id).total_seconds()
