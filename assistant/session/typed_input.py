"""Speech input from the keyboard: one typed line is one utterance."""

from __future__ import annotations

import selectors
import sys
from io import TextIOWrapper
from queue import Empty, Queue
from threading import Thread
from typing import TextIO

from assistant.dialogue.expectation import Expectation
from assistant.language.hypothesis import typed
from assistant.session.edges import EndOfInput, Sound


class TypedInput:
    """Reads lines from ``stream``; an empty line is ignored."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        if isinstance(stream, TextIOWrapper):
            # bytes that are not text must neither end the session nor reach the record
            stream.reconfigure(errors="replace")
        # Windows can wait for sockets only, so a thread reads the keyboard there
        self._ahead = LinesAhead(stream) if sys.platform == "win32" else None

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        """The next line; None when ``patience_s`` is over first.

        Raises:
            EndOfInput: end of file.
        """
        if patience_s is not None and not self._ready(patience_s):
            return None
        line = self._ahead.get() if self._ahead else self._stream.readline()
        if not line:
            raise EndOfInput
        return Sound(typed(line)) if line.strip() else None

    def _ready(self, patience_s: float) -> bool:
        if self._ahead:
            return self._ahead.wait(patience_s)
        with selectors.DefaultSelector() as selector:
            try:
                selector.register(self._stream, selectors.EVENT_READ)
            except (ValueError, PermissionError):  # a plain file or a test's buffer
                return True
            return bool(selector.select(patience_s))


class LinesAhead:
    """Reads ``stream`` in a thread, a line ahead of what is taken."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._lines: Queue[str] = Queue(maxsize=1)
        self._next: str | None = None
        Thread(target=self._read, name="typed lines", daemon=True).start()

    def wait(self, patience_s: float) -> bool:
        """Whether a line, or the end, comes within ``patience_s`` seconds."""
        if self._next is None:
            try:
                self._next = self._lines.get(timeout=patience_s)
            except Empty:
                return False
        return True

    def get(self) -> str:
        """The next line; empty at the end of file."""
        line = self._lines.get() if self._next is None else self._next
        # the end stays the end
        self._next = None if line else ""
        return line

    def _read(self) -> None:
        line = "first"
        while line:
            try:
                line = self._stream.readline()
            except (OSError, ValueError):  # closed while it was read
                line = ""
            self._lines.put(line)
