"""Work done ahead in the background: only the newest wish counts."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from threading import Condition, Thread
from typing import Generic, TypeVar

from assistant.speech.errors import SpeechError

T = TypeVar("T")


class NewestOnly(Generic[T]):
    """Carries out ``steps(wish)`` one by one in a thread, until they end or a newer wish comes.

    ``pause_s`` passes before the first step, so that what is wanted at once goes before. A step
    that fails (``SpeechError``, ``OSError``) ends the wish: whoever needs it in earnest will meet
    the fault and tell of it.
    """

    def __init__(self, steps: Callable[[T], Iterable[object]], pause_s: float = 0.0) -> None:
        self._steps = steps
        self._pause_s = pause_s
        self._changed = Condition()
        self._wish: list[T] = []  # none or one
        self._busy = False
        self._closed = False
        Thread(target=self._run, name="ahead", daemon=True).start()

    def wish(self, wish: T) -> None:
        """Replace what is being worked on."""
        with self._changed:
            self._wish = [wish]
            self._changed.notify_all()

    def close(self) -> None:
        """Give up what is being worked on."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()

    def settled(self, patience_s: float) -> bool:
        """Wait until nothing is left to do; False when ``patience_s`` is over first."""
        with self._changed:
            return self._changed.wait_for(lambda: not self._wish and not self._busy, patience_s)

    def _run(self) -> None:
        while True:
            with self._changed:
                self._busy = False
                self._changed.notify_all()
                self._changed.wait_for(lambda: self._wish or self._closed)
                if self._pause_s:
                    self._changed.wait_for(lambda: self._closed, self._pause_s)
                if self._closed:
                    return
                wish = self._wish.pop()
                self._busy = True
            self._carry_out(wish)

    def _carry_out(self, wish: T) -> None:
        try:
            for _ in self._steps(wish):
                with self._changed:
                    if self._wish or self._closed:
                        return
        except (SpeechError, OSError):  # told of when the line is spoken in earnest
            return
