"""Idle connections do not lock a tablet out.

uvicorn counts every open connection against its limit and waits for a first request without end, so
that some dozens of half-open ones hold the board at "503". Here those that wait are few: each new
one beyond that closes the one that has waited longest, and none waits longer than ``PATIENCE_S``.
"""

from __future__ import annotations

import asyncio
from typing import Any

from uvicorn.protocols.http.h11_impl import H11Protocol

MOST_WAITING = 24
PATIENCE_S = 5.0


def waiting_bounded(most: int = MOST_WAITING, patience_s: float = PATIENCE_S) -> type[H11Protocol]:
    """The protocol of one server; its connections know of each other."""
    waiting: dict[_Bounded, None] = {}  # in the order in which they began to wait

    class Bounded(_Bounded):
        _waiting = waiting
        _most = most
        _patience_s = patience_s

    return Bounded


class _Bounded(H11Protocol):
    _waiting: dict[_Bounded, None]
    _most: int
    _patience_s: float
    _late: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        assert isinstance(transport, asyncio.Transport)
        super().connection_made(transport)
        self._wait()

    def data_received(self, data: bytes) -> None:
        before = self.cycle
        super().data_received(data)
        if self.cycle is not before:  # a whole request is here
            self._wait_no_more()

    def on_response_complete(self) -> None:
        before: Any = self.cycle
        super().on_response_complete()
        if self.cycle is before and not self.transport.is_closing():
            self._wait()

    def connection_lost(self, exc: Exception | None) -> None:
        self._wait_no_more()
        super().connection_lost(exc)

    def _wait(self) -> None:
        self._waiting[self] = None
        self._late = self.loop.call_later(self._patience_s, self.transport.close)
        while len(self._waiting) > self._most:
            longest = next(iter(self._waiting))
            longest._wait_no_more()
            longest.transport.close()

    def _wait_no_more(self) -> None:
        self._waiting.pop(self, None)
        if self._late is not None:
            self._late.cancel()
            self._late = None
