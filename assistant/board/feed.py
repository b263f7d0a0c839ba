"""Hands the newest snapshot from the session's thread to any number of watching connections.

Only the newest matters: a slow tablet skips what it missed and never grows a queue.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from secrets import token_hex
from threading import Lock

from assistant.board.view import Snapshot


@dataclass(frozen=True)
class Frame:
    """A snapshot with its event id (the run of the program, then a rising number).

    ``published`` is when the session handed it over, as an ISO 8601 instant in UTC.
    """

    id: str
    snapshot: Snapshot
    published: str


class Feed:
    """The newest frame, and a bell for whoever watches. Safe between threads."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._run = token_hex(4)
        self._number = 0
        self._frame = Frame(f"{self._run}-0", Snapshot(), _now())
        self._closed = False
        self._bells: dict[asyncio.Event, asyncio.AbstractEventLoop] = {}

    @property
    def frame(self) -> Frame:
        """The newest frame."""
        with self._lock:
            return self._frame

    @property
    def closed(self) -> bool:
        """Whether the feed has ended."""
        with self._lock:
            return self._closed

    def publish(self, snapshot: Snapshot) -> None:
        """Make ``snapshot`` the newest; returns at once, whoever watches."""
        with self._lock:
            self._number += 1
            self._frame = Frame(f"{self._run}-{self._number}", snapshot, _now())
        self._ring()

    def close(self) -> None:
        """End every watch."""
        with self._lock:
            self._closed = True
        self._ring()

    def _ring(self) -> None:
        with self._lock:
            bells = tuple(self._bells.items())
        for bell, loop in bells:
            with suppress(RuntimeError):  # the loop has closed; its watcher is gone with it
                loop.call_soon_threadsafe(bell.set)

    async def watch(self, beat_s: float) -> AsyncGenerator[Frame | None, None]:
        """The newest frame at once and after each change; None after ``beat_s`` without one."""
        bell = asyncio.Event()
        bell.set()
        with self._lock:
            self._bells[bell] = asyncio.get_running_loop()
        seen = ""
        try:
            while True:
                try:
                    await asyncio.wait_for(bell.wait(), beat_s)
                except TimeoutError:
                    yield None
                    continue
                bell.clear()  # before reading: a frame published after it rings again
                frame = self.frame
                if frame.id != seen:
                    seen = frame.id
                    yield frame
                if self.closed:
                    return
        finally:
            with self._lock:
                self._bells.pop(bell, None)


def _now() -> str:
    return datetime.now(UTC).isoformat()
