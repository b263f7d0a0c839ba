"""Several screens as one, so that a session shown on the terminal is on the board as well."""

from __future__ import annotations

from assistant.dialogue.effects import Say
from assistant.dialogue.facts import Fact
from assistant.dialogue.state import State
from assistant.session.edges import Screen, Sound


class ScreensTogether:
    """Passes everything on to each of ``screens``, in order."""

    def __init__(self, *screens: Screen) -> None:
        self._screens = screens

    def heard(self, sound: Sound) -> None:
        """Show what was heard."""
        for screen in self._screens:
            screen.heard(sound)

    def said(self, said: Say) -> None:
        """Show what is being said."""
        for screen in self._screens:
            screen.said(said)

    def recorded(self, fact: Fact) -> None:
        """Show a fact that has just been stored."""
        for screen in self._screens:
            screen.recorded(fact)

    def state(self, state: State) -> None:
        """Show the new state."""
        for screen in self._screens:
            screen.state(state)
