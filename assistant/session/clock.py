"""Clocks: the wall's, and one for demonstrations that runs waits off at once."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Literal, Protocol


class Clock(Protocol):
    """Tells the time as an aware datetime."""

    kind: Literal["wall", "demo"]

    def now(self) -> datetime:
        """The present instant."""

    def skip_to(self, instant: datetime) -> bool:
        """Move on to ``instant`` where the clock can; tells whether it did."""


class WallClock:
    """The machine's clock, in UTC."""

    kind: Literal["wall", "demo"] = "wall"

    def now(self) -> datetime:
        """The present instant."""
        return datetime.now(UTC)

    def skip_to(self, instant: datetime) -> bool:
        """Real time is not to be skipped."""
        return False


class DemoClock:
    """Starts at ``start``, one second on at each reading, and skips waits.

    A record made under it says so in its opening event; it is never used for real work.
    """

    kind: Literal["wall", "demo"] = "demo"

    def __init__(self, start: datetime) -> None:
        self._now = start

    def now(self) -> datetime:
        """The present instant of the demonstration."""
        self._now += timedelta(seconds=1)
        return self._now

    def skip_to(self, instant: datetime) -> bool:
        """Jump to ``instant``."""
        self._now = max(self._now, instant)
        return True
