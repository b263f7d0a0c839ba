"""Timers of a session: they count by the steady clock, so setting the wall clock moves none."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from assistant.dialogue.effects import Effect, StartTimer

_TRY_AGAIN_MS = 5000  # a timer whose end could not be stored ends again after this


class Timers:
    """When the timer of each step ends, in milliseconds of the steady clock."""

    def __init__(self) -> None:
        self._ends: dict[str, int] = {}

    def start(self, effects: Iterable[Effect], at: datetime, elapsed_ms: int) -> None:
        """Start the timers among ``effects`` of an event at ``at``, which was ``elapsed_ms``."""
        for effect in effects:
            if isinstance(effect, StartTimer):
                rest = datetime.fromisoformat(effect.until) - at
                self._ends[effect.step] = elapsed_ms - (-rest // timedelta(milliseconds=1))

    def first(self) -> tuple[str, int] | None:
        """The step whose timer ends first, and when; None where no timer runs."""
        return min(self._ends.items(), key=lambda item: item[1], default=None)

    def remove(self, step: str) -> None:
        """The timer of ``step`` has ended."""
        del self._ends[step]

    def try_again(self, step: str, elapsed_ms: int) -> None:
        """The end of the timer of ``step`` could not be stored at ``elapsed_ms``."""
        self._ends[step] = elapsed_ms + _TRY_AGAIN_MS
