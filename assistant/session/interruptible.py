"""Speech output that can be interrupted: the microphone stays on while it speaks."""

from __future__ import annotations

from concurrent.futures import Future, ThreadPoolExecutor
from typing import Protocol

from assistant.dialogue.effects import Say
from assistant.dialogue.expectation import Expectation
from assistant.language.interprets import Interprets
from assistant.language.policy import Policy
from assistant.language.spec import Command
from assistant.language.trust import Act, understand
from assistant.session.edges import EndOfInput, Sound, SpeechInput

_GLANCE_S = 0.05  # how often it is looked whether the line has been said
_AFTER_S = 0.4  # what begins so soon after the last word may still be its echo


class StoppableOutput(Protocol):
    """Speech output whose line can be cut short from another thread."""

    def say(self, said: Say) -> None:
        """Speak; returns when it has been said, or was cut short."""

    def stop(self) -> None:
        """Cut short what is being said."""


class Interruptible:
    """Speaks and listens at once; ``policy`` says what may interrupt where nobody asked."""

    def __init__(
        self,
        output: StoppableOutput,
        source: SpeechInput,
        language: Interprets,
        policy: Policy | None = None,
    ) -> None:
        self._output = output
        self._source = source
        self._language = language
        self._policy = (policy or Policy()).where_unasked()
        self._speaking = ThreadPoolExecutor(1, "speaking")
        self._late: Sound | None = None  # recognised when the line had just been said

    def say(self, said: Say, cuts: Expectation) -> Sound | None:
        """Speak ``said`` to its end, or until one of ``cuts`` is heard, which is returned.

        What was said over the end of a line cuts the next one, before it begins.
        """
        if self._late is not None:
            return self._take_late()
        line = self._speaking.submit(self._output.say, said)
        while not line.done():
            heard = self._hear(cuts, _GLANCE_S, line)
            if heard is not None and not line.done():
                self._output.stop()
                line.result()
                return heard
            self._late = heard
        line.result()
        return None

    def after(self, cuts: Expectation) -> Sound | None:
        """Listen on as if still speaking, for the echo of the last words; what cut in, if any."""
        return self._take_late() or self._hear(cuts, _AFTER_S, None)

    def _take_late(self) -> Sound | None:
        late, self._late = self._late, None
        return late

    def _hear(
        self, cuts: Expectation, patience_s: float, line: Future[None] | None
    ) -> Sound | None:
        try:
            sound = self._source.hear(cuts, patience_s)
        except EndOfInput:
            if line is not None:
                line.result()
            return None
        return sound if sound is not None and self._counts(cuts, sound) else None

    def _counts(self, cuts: Expectation, sound: Sound) -> bool:
        heard = understand(self._policy, self._language, cuts.spec, sound.recognition)
        return isinstance(heard, Act) and isinstance(heard.meaning, Command)
