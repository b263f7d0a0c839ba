"""Work done ahead in the background: only the newest task counts."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from threading import Condition, Thread
from typing import Generic, TypeVar

from assistant.speech.errors import SpeechError

T = TypeVar("T")


class LatestTaskRunner(Generic[T]):
    """Carries out ``steps(task)`` one by one in a thread, until they end or a newer task comes.

    ``pause_s`` passes before the first step, so that what is wanted at once goes before. A step
    that fails (``SpeechError``, ``OSError``) ends the task: whoever needs it in earnest will meet
    the fault and tell of it.
    """

    def __init__(self, steps: Callable[[T], Iterable[object]], pause_s: float = 0.0) -> None:
        self._steps = steps
        self._pause_s = pause_s
        self._changed = Condition()
        self._waiting: list[T] = []  # none or one
        self._busy = False
        self._closed = False
        Thread(target=self._run, name="ahead", daemon=True).start()

    def submit(self, task: T) -> None:
        """Replace what is being worked on."""
        with self._changed:
            self._waiting = [task]
            self._changed.notify_all()

    def close(self) -> None:
        """Give up what is being worked on."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()

    def settled(self, patience_s: float) -> bool:
        """Wait until nothing is left to do; False when ``patience_s`` is over first."""
        with self._changed:
            return self._changed.wait_for(lambda: not self._waiting and not self._busy, patience_s)

    def _run(self) -> None:
        while True:
            with self._changed:
                self._busy = False
                self._changed.notify_all()
                self._changed.wait_for(lambda: self._waiting or self._closed)
                if self._pause_s:
                    self._changed.wait_for(lambda: self._closed, self._pause_s)
                if self._closed:
                    return
                task = self._waiting.pop()
                self._busy = True
            self._carry_out(task)

    def _carry_out(self, task: T) -> None:
        try:
            for _ in self._steps(task):
                with self._changed:
                    if self._waiting or self._closed:
                        return
        except (SpeechError, OSError):  # told of when the line is spoken in earnest
            return
