"""Has the voice make the likely next lines while the builder works."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

from assistant.dialogue.context import Context
from assistant.dialogue.effects import Say
from assistant.dialogue.facts import Fact
from assistant.dialogue.state import State
from assistant.session.edges import Sound
from assistant.session.foreseeing import foreseen
from assistant.voice.latest_task import LatestTaskRunner
from assistant.voice.played_voice import PlayedVoice

_PAUSE_S = 0.2  # the answer that is due now is made first


class ForeseeingScreen:
    """A screen that shows nothing: each new state tells it what the voice may have to say next."""

    def __init__(self, context: Context, voice: PlayedVoice, pause_s: float = _PAUSE_S) -> None:
        self._context = context
        self._voice = voice
        self.ahead = LatestTaskRunner(self._steps, pause_s)

    def state(self, state: State) -> None:
        """Have the lines made that may follow ``state``."""
        self.ahead.submit(state)

    def heard(self, sound: Sound) -> None:
        """Nothing is foreseen from that."""

    def said(self, said: Say) -> None:
        """Nothing is foreseen from that."""

    def recorded(self, fact: Fact) -> None:
        """Nothing is foreseen from that."""

    def _steps(self, state: State) -> Iterator[None]:
        for said in foreseen(self._context, state, datetime.now(UTC).isoformat()):
            self._voice.foresee(said.text, said.tone)
            yield
