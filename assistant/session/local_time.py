"""How far the clock on the wall is ahead of UTC, now and after the next changes."""

from __future__ import annotations

from datetime import datetime, timedelta, tzinfo

from assistant.dialogue.events import LocalTime

_AHEAD = timedelta(days=100)  # longer than any cure; a resumption looks again
_MINUTE = timedelta(minutes=1)


def local_time(now: datetime, zone: tzinfo | None = None) -> LocalTime:
    """The local time at ``now``; ``zone`` None is the machine's own.

    Changes are found to the minute by halving; two within a day do not happen.
    """
    changes: list[tuple[str, int]] = []
    begin = now
    while begin < now + _AHEAD:
        end = begin + timedelta(days=1)
        if _minutes(begin, zone) != _minutes(end, zone):
            changes.append(_change(begin, end, zone))
        begin = end
    return LocalTime(minutes=_minutes(now, zone), changes=tuple(changes))


def _change(low: datetime, high: datetime, zone: tzinfo | None) -> tuple[str, int]:
    after = _minutes(high, zone)
    while high - low > _MINUTE:
        middle = low + (high - low) / 2
        low, high = (low, middle) if _minutes(middle, zone) == after else (middle, high)
    return high.replace(second=0, microsecond=0).isoformat(), after


def _minutes(at: datetime, zone: tzinfo | None) -> int:
    ahead = at.astimezone(zone).utcoffset()
    return 0 if ahead is None else round(ahead.total_seconds() / 60)
