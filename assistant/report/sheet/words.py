"""The words of a laid-out record: one name for each thing, on page one as in the appendix."""

from __future__ import annotations

from datetime import datetime, tzinfo
from functools import lru_cache

from assistant.quantities.amount import Amount, Indication
from assistant.quantities.habit import converted
from assistant.quantities.limits import Limits, Verdict
from assistant.quantities.symbols import RELATIONS, symbol
from assistant.report.written import readable

VERDICTS: dict[Verdict, str] = {
    "in": "in limits",
    "out": "out of limits",
    "undecided": "too close to call",
    "no_limit": "no limit",
}
"""One name for each verdict, in every form of the record."""

_GAP = "\u00a0"  # a number is never parted from its unit
_RANGE = "\u2009–\u2009"


def amount(value: Amount | None) -> str:
    """An amount as a decimal with its unit; nothing for None."""
    if value is None:
        return ""
    told = readable(value)
    sign = symbol(told.unit)
    return told.number() + ("" if sign in ("", "°") else _GAP) + sign


def indication(value: Indication) -> str:
    """What a gauge showed, as it is printed."""
    if value.relation != "between" or value.upper is None:
        return RELATIONS[value.relation] + amount(value.amount)
    low = "" if value.lower_included else "over "
    high = "" if value.upper_included else "under "
    first = readable(value.amount).number()
    return f"{low}{first} to {high}{amount(value.upper)}"


def other_amount(value: Amount | None) -> str:
    """In the other system's unit; nothing where it has none."""
    return "" if value is None else amount(converted(readable(value)))


def other_indication(value: Indication, beside: Limits) -> str:
    """What a gauge showed in the unit of its limits, so that the two can be compared.

    Where that is its own unit, as :func:`other_amount`.
    """
    limit = beside.upper or beside.lower
    unit = None if limit is None or limit.unit == value.amount.unit else limit.unit
    first = converted(readable(value.amount), unit)
    if first is None:
        return ""
    upper = None if value.upper is None else converted(readable(value.upper), first.unit)
    return indication(
        Indication(value.relation, first, upper, value.lower_included, value.upper_included)
    )


@lru_cache(maxsize=256)
def limits(value: Limits) -> str:
    """Both limits with the unit once, or what there is of them."""
    lower, upper = value.lower, value.upper
    if lower is not None and upper is not None:
        if lower.unit == upper.unit:
            return f"{readable(lower).number()}{_RANGE}{amount(upper)}"
        return f"{amount(lower)}{_RANGE}{amount(upper)}"
    if upper is not None:
        return f"at most {amount(upper)}"
    return VERDICTS["no_limit"] if lower is None else f"at least {amount(lower)}"


def capital(text: str) -> str:
    """With a capital at its beginning."""
    return text[:1].upper() + text[1:]


def lasting(seconds: float) -> str:
    """A duration in hours, minutes and seconds; a negative one says that the clock moved."""
    if seconds < 0:
        return "clock was set back"
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    if hours:
        return f"{hours} h {minutes} min"
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"


def count(number: int, one: str, many: str = "") -> str:
    """``1 step``, ``3 steps``."""
    return f"{number} {one if number == 1 else many or one + 's'}"


class Times:
    """The times of a session in the zone of the reader's machine, or in ``zone``.

    On the session's first day a time alone is written; the offset only where it is another than
    the one that page one states.
    """

    def __init__(self, first: str, zone: tzinfo | None) -> None:
        self._zone = zone
        opened = self._local(first)
        self._day = "" if opened is None else opened.date().isoformat()
        self.offset = "" if opened is None else _offset(opened)

    def _local(self, at: str) -> datetime | None:
        try:
            return datetime.fromisoformat(at).astimezone(self._zone)
        except (ValueError, OverflowError, OSError):
            return None

    def time(self, at: str | None) -> str:
        """The time of day, with the date where it is another day than the first."""
        local = self._local(at) if at else None
        if local is None:
            return at or ""
        written = local.isoformat(" ", "seconds")
        shown = written[11:19] if written[:10] == self._day else written[:19]
        offset = _offset(local)
        return shown if offset == self.offset else f"{shown} {offset}"

    def moment(self, at: str | None) -> str:
        """Date, time to the minute, and offset."""
        local = self._local(at) if at else None
        return (at or "") if local is None else f"{local:%Y-%m-%d %H:%M} {_offset(local)}"

    def span(self, first: str, last: str) -> str:
        """From one moment to another; the date once where it is one day."""
        start, end = self._local(first), self._local(last)
        if start is None or end is None:
            return f"{first} to {last}"
        same = start.date() == end.date() and _offset(start) == _offset(end)
        if same:
            return f"{start:%Y-%m-%d %H:%M} to {end:%H:%M} {_offset(end)}"
        return f"{self.moment(first)} to {self.moment(last)}"

    def day(self, at: str) -> str:
        """The local day, ISO 8601."""
        local = self._local(at)
        return at[:10] if local is None else local.date().isoformat()


def _offset(local: datetime) -> str:
    written = local.isoformat()[-6:]
    return "UTC" if written == "+00:00" else f"UTC{written}"
