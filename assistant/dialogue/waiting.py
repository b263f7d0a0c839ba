"""How long a wait still takes, and by which clock.

While the machine runs, waits are timed by its steady clock (``Event.elapsed_ms``), which nobody
sets: a wall clock that jumps by a day neither ends a cure nor drags it out. That clock starts again
with the machine (``boot`` names its run). Then only the wall clock is left, and where that says
something hard to believe the builder is asked. Where the wait is the longest time that work may
take, the builder is always asked: a clock that lost time would make that work look quicker.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from fractions import Fraction

from assistant.dialogue import wall_clock
from assistant.dialogue.effects import StartTimer
from assistant.dialogue.facts import WaitStarted
from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.turn import Turn
from assistant.procedure.step import Step

_BACKWARDS = timedelta(minutes=1)  # a clock that is set by the network may step back by so much
_LONG_OVER = timedelta(days=4)  # a long weekend: common sense, no source


def start(turn: Turn, step: Step) -> None:
    """The wait of ``step`` starts now, or starts again."""
    until = datetime.fromisoformat(turn.at) + _duration(step)
    if not kind_of(step).wait_is_part_of_work:
        turn.record(WaitStarted(step=step.id, started=turn.at, until=until.isoformat()))
    turn.put(waits={**turn.state.waits, step.id: until.isoformat()})
    _set(turn, step.id, _duration(step))
    turn.effects.append(StartTimer(step.id, until.isoformat()))


def once_more(turn: Turn, step: Step) -> None:
    """The wait of ``step`` starts again from the instant at which it was over, not from now."""
    end = turn.state.wait_ends.get(step.id)
    until = datetime.fromisoformat(turn.state.waits[step.id]) + _duration(step)
    turn.put(waits={**turn.state.waits, step.id: until.isoformat()})
    if end is not None:
        length = _duration(step) // timedelta(milliseconds=1)
        turn.put(wait_ends={**turn.state.wait_ends, step.id: end + length})


def _duration(step: Step) -> timedelta:
    duration = kind_of(step).waits(step)
    assert duration is not None
    seconds = duration.to("s").value
    return timedelta(microseconds=int(seconds * Fraction(1_000_000)))


def _set(turn: Turn, step: str, left: timedelta) -> None:
    """The steady clock, where it tells the time, ends the wait in ``left``."""
    ends = {s: end for s, end in turn.state.wait_ends.items() if s != step}
    if turn.elapsed_ms is not None and turn.state.boot:
        ends[step] = turn.elapsed_ms + left // timedelta(milliseconds=1)
    turn.put(wait_ends=ends)


def left(turn: Turn, step: str) -> timedelta:
    """What is left of a running wait; not above zero when it is over."""
    end = turn.state.wait_ends.get(step)
    if end is not None and turn.elapsed_ms is not None:
        return timedelta(milliseconds=end - turn.elapsed_ms)
    return datetime.fromisoformat(turn.state.waits[step]) - datetime.fromisoformat(turn.at)


def set_timers(turn: Turn) -> None:
    """Have every running wait's timer ring when it is over."""
    for step in turn.state.waits:
        set_timer(turn, step)


def set_timer(turn: Turn, step: str) -> None:
    """Have the timer of one wait ring when it is over, by whatever the wall clock shows then."""
    if step in turn.state.wait_ends and turn.elapsed_ms is not None:
        until = datetime.fromisoformat(turn.at) + left(turn, step)
        turn.put(waits={**turn.state.waits, step: until.isoformat()})
    turn.effects.append(StartTimer(step, turn.state.waits[step]))


def resumed(turn: Turn, boot: str) -> None:
    """The session goes on in the run ``boot`` of the machine: set the clock that tells the time."""
    if boot and boot == turn.state.boot:
        return  # the steady clock has run on meanwhile
    turn.put(boot=boot, wait_ends={})
    for step in turn.state.waits:
        _set(turn, step, left(turn, step))


def hard_to_believe(turn: Turn) -> str | None:
    """A running wait about which the wall clock alone is not believed; None without one."""
    now = datetime.fromisoformat(turn.at)
    for step, text in turn.state.waits.items():
        until = datetime.fromisoformat(text)
        if now < until - _length(turn, step) - _BACKWARDS or now > until + _LONG_OVER:
            return step
        if is_longest(turn, step):
            return step
    return None


def began_s(turn: Turn, step: str) -> float:
    """How long ago a running wait began by the wall clock, in seconds; negative: still to come."""
    began = datetime.fromisoformat(turn.state.waits[step]) - _length(turn, step)
    return (datetime.fromisoformat(turn.at) - began).total_seconds()


def _length(turn: Turn, step: str) -> timedelta:
    waiting = turn.context.procedure.step(step)
    return _duration(waiting)


def is_longest(turn: Turn, step: str) -> bool:
    """Whether the wait of ``step`` is the longest time that its work may take."""
    return kind_of(turn.context.procedure.step(step)).wait_is_a_limit


def start_again(turn: Turn) -> list[str]:
    """Nobody knows how long the machine was off: every running wait starts again, in full.

    A longest time does not: the work would seem to have just begun. Returns the steps whose time is
    lost so.
    """
    lost = [step for step in turn.state.waits if is_longest(turn, step)]
    for step in lost:
        over(turn, step)
    for step in list(turn.state.waits):
        start(turn, turn.context.procedure.step(step))
    return lost


def over(turn: Turn, step: str) -> None:
    """The wait is over."""
    turn.put(
        waits={s: until for s, until in turn.state.waits.items() if s != step},
        wait_ends={s: end for s, end in turn.state.wait_ends.items() if s != step},
    )


def say_waits(turn: Turn, running: bool = False) -> str:
    """The running waits with what is left of each, in whole minutes rounded up.

    Where that is more than an hour, by the clock on the wall at which it is over. With ``running``
    those that are over are left out.
    """
    parts = []
    for step in turn.state.waits:
        if running and left(turn, step) <= timedelta():
            continue
        minutes = -(-left(turn, step) // timedelta(minutes=1))
        title = turn.context.procedure.step(step).title
        clock = wall_clock.over_at(turn, left(turn, step))
        if clock:
            parts.append(turn.words("wait_until", title=title, clock=clock))
        else:
            parts.append(turn.words("wait_left", title=title, count=max(0, minutes)))
    return " ".join(parts)
