"""Says what the dialogue wants said, and keeps what the builder cut short."""

from __future__ import annotations

from assistant.dialogue.effects import Say
from assistant.dialogue.events import Unsaid
from assistant.dialogue.expectation import Expectation
from assistant.session.edges import Interruptions, Screen, Sound, SpeechOutput


class Delivery:
    """Speaks and shows lines. Once one is cut short, the lines after it are not begun."""

    def __init__(self, output: SpeechOutput, screen: Screen) -> None:
        self._output = output
        self._screen = screen
        self._interruptions: Interruptions | None = None
        self._cut_by: Sound | None = None
        self._owed: list[Say] = []

    @property
    def interruptible(self) -> bool:
        """Whether the builder may cut in."""
        return self._interruptions is not None

    def allow(self, interruptions: Interruptions) -> None:
        """Speak through ``interruptions`` from now on."""
        self._interruptions = interruptions

    @property
    def owed(self) -> tuple[Unsaid, ...]:
        """The line that was cut short, and those that were not begun."""
        return tuple(
            Unsaid(text=x.text, tone=x.tone, about=x.about, sound=x.sound) for x in self._owed
        )

    def clear_owed(self) -> None:
        """What is owed is stored: the dialogue sees to it from now on."""
        self._owed.clear()

    def take_cut(self) -> Sound | None:
        """What cut in, once."""
        cut_by, self._cut_by = self._cut_by, None
        return cut_by

    def say(self, said: Say, may_interrupt: Expectation | None) -> None:
        """Show and speak one line; ``may_interrupt`` is what may cut it short."""
        self._screen.said(said)
        if not said.text:
            return
        if self._cut_by is None:
            if self._interruptions is None or may_interrupt is None:
                self._output.say(said)
                return
            self._cut_by = self._interruptions.say(said, may_interrupt)
            if self._cut_by is None:
                return
        self._owed.append(said)

    def finish(self, may_interrupt: Expectation | None) -> None:
        """All lines of one event are said: listen on briefly for what began during the last."""
        if (
            self._interruptions is None
            or may_interrupt is None
            or self._cut_by is not None
            or self._owed
        ):
            return
        self._cut_by = self._interruptions.after(may_interrupt)
