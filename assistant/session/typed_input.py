"""Speech input from the keyboard: one typed line is one utterance."""

from __future__ import annotations

import selectors
from io import TextIOWrapper
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

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        """The next line; None when ``patience_s`` is over first.

        Raises:
            EndOfInput: end of file.
        """
        if patience_s is not None and not self._ready(patience_s):
            return None
        line = self._stream.readline()
        if not line:
            raise EndOfInput
        return Sound(typed(line)) if line.strip() else None

    def _ready(self, patience_s: float) -> bool:
        with selectors.DefaultSelector() as selector:
            try:
                selector.register(self._stream, selectors.EVENT_READ)
            except (ValueError, PermissionError):  # a plain file or a test's buffer
                return True
            return bool(selector.select(patience_s))
