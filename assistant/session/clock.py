"""Clocks: the machine's, and one for demonstrations that skips waits."""

from __future__ import annotations

import sys
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from secrets import token_hex
from typing import Literal, Protocol


class Clock(Protocol):
    """Tells the time as an aware datetime."""

    kind: Literal["wall", "demo"]
    boot: str
    """Names the run of the machine that ``elapsed_ms`` counts in; empty where none is known."""

    def now(self) -> datetime:
        """The present instant."""

    def elapsed_ms(self) -> int:
        """Milliseconds by a clock that nobody sets."""

    def skip_to(self, elapsed_ms: int) -> bool:
        """Move on to ``elapsed_ms`` where the clock can; returns whether it did."""


class WallClock:
    """The machine's clocks: the wall's in UTC, and the one that runs steadily since it started.

    The steady one counts on while the machine sleeps, where the system has such a clock.
    """

    kind: Literal["wall", "demo"] = "wall"

    def __init__(self) -> None:
        self.boot = _boot()

    def now(self) -> datetime:
        """The present instant."""
        return datetime.now(UTC)

    def elapsed_ms(self) -> int:
        """Milliseconds since the machine started."""
        return _steady_ns() // 1_000_000

    def skip_to(self, elapsed_ms: int) -> bool:
        """Real time cannot be skipped."""
        return False


def _steady_ns() -> int:
    # Linux's monotonic clock stands still while the machine sleeps; a cure wait does not. Those of
    # macOS and Windows go on.
    if sys.platform == "linux":
        return time.clock_gettime_ns(time.CLOCK_BOOTTIME)
    return time.monotonic_ns()


def _boot() -> str:
    """The kernel's name for this run of the machine; where it has none, one for this process."""
    try:
        return Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
    except OSError:
        return token_hex(16)


class DemoClock:
    """Starts at ``start``, one second on at each reading, and skips waits.

    A record made under it says so in its opening event; it is never used for real work.
    """

    kind: Literal["wall", "demo"] = "demo"
    boot = ""

    def __init__(self, start: datetime) -> None:
        self._start = self._now = start

    def now(self) -> datetime:
        """The present instant of the demonstration."""
        self._now += timedelta(seconds=1)
        return self._now

    def elapsed_ms(self) -> int:
        """Milliseconds since the demonstration's start."""
        return (self._now - self._start) // timedelta(milliseconds=1)

    def skip_to(self, elapsed_ms: int) -> bool:
        """Jump to ``elapsed_ms``."""
        self._now = max(self._now, self._start + timedelta(milliseconds=elapsed_ms))
        return True
