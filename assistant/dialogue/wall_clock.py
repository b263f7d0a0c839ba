"""An instant as the clock on the workshop's wall shows it, in words: "Saturday, ten o'clock".

How far that clock is ahead of UTC comes in with the session's opening and each resumption, so that
a replay gives the same words.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from fractions import Fraction

from assistant.dialogue.events import LocalTime
from assistant.dialogue.turn import Turn

_SHORT = timedelta(hours=1)  # minutes are said of what is no longer
_PARTS = ((5, "early"), (12, "morning"), (18, "afternoon"), (22, "evening"), (24, "night"))


def over_at(turn: Turn, left: timedelta) -> str:
    """When ``left`` is over; empty where minutes say it better, or the local time is not known."""
    if left <= _SHORT or turn.state.local is None:
        return ""
    now = datetime.fromisoformat(turn.at)
    minute = timedelta(minutes=1)
    end = _local(now + left, turn.state.local)
    up = end.replace(second=0, microsecond=0)
    end = up if up == end else up + minute  # never before it is over
    return _day(turn, _local(now, turn.state.local), end)


def _local(instant: datetime, local: LocalTime) -> datetime:
    """What the clock shows at ``instant``, without a zone."""
    minutes = local.minutes
    for since, then in local.changes:
        if datetime.fromisoformat(since) <= instant:
            minutes = then
    return (
        instant.replace(tzinfo=None)
        - (instant.utcoffset() or timedelta())
        + timedelta(minutes=minutes)
    )


def _day(turn: Turn, now: datetime, end: datetime) -> str:
    # midnight is the end of a day: "Saturday, midnight" is not the night before Saturday
    day_of = (end - timedelta(minutes=1)).date() if not (end.hour or end.minute) else end.date()
    days = (day_of - now.date()).days
    time = _time(turn, end)
    if days == 0:
        return turn.words("clock_today", time=time)
    if days == 1:
        return turn.words("clock_tomorrow", time=time)
    day = turn.words(f"weekday_{day_of.isoweekday()}")
    if days < 7:
        return turn.words("clock_day", day=day, time=time)
    return turn.words("clock_far", count=days, day=day, time=time)


def _time(turn: Turn, at: datetime) -> str:
    if at.minute == 0 and at.hour in (0, 12):
        return turn.words("clock_noon" if at.hour else "clock_midnight")
    part = next(name for before, name in _PARTS if at.hour < before)
    key = "clock_hour" if at.minute == 0 else "clock_oh" if at.minute < 10 else "clock_minutes"
    return turn.words(
        key,
        hour=turn.words(f"hour_{at.hour % 12 or 12}"),
        minutes=turn.context.language.say_number(Fraction(at.minute)),
        part=turn.words(f"part_{part}"),
    )
