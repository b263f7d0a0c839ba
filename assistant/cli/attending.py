"""When the assistant listens: always, after the attention phrase, or while a pedal is held."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from assistant.audio.hold import Pedal
from assistant.audio.pedal import find_pedal
from assistant.cli.terminal import tell
from assistant.cli.workplace import AskedError
from assistant.dialogue.events import Attention
from assistant.language import Language
from assistant.session.attention import CALL, AttentiveInput
from assistant.session.edges import SpeechInput

MODES: tuple[Attention, ...] = ("always", "phrase", "held")


@dataclass(frozen=True)
class Attending:
    """When to listen, and the pedal where one is held."""

    mode: Attention = "always"
    pedal: Pedal | None = None

    def attentive(
        self, source: SpeechInput, language: Language, called: Callable[[], None]
    ) -> SpeechInput:
        """``source`` behind the attention phrase, where one is wanted; ``called`` runs then."""
        if self.mode != "phrase":
            return source
        phrase = language.phrase_for(CALL)
        tell(f"Listening after '{phrase}' only; 'stop work' is heard always.")
        return AttentiveInput(source, language, called)


@contextmanager
def attending(asked: str, pedal: str | None, keyboard: bool) -> Iterator[Attending]:
    """What the command line asked for; the pedal is closed at the end.

    Raises:
        AskedError: there is no such way of listening, or it does not go with a keyboard.
        SpeechError: there is no such pedal.
    """
    mode = _mode(asked, pedal)
    if mode == "always":
        yield Attending()
        return
    if keyboard:
        raise AskedError("--attend is for listening; leave it out with --keyboard.")
    if mode == "phrase":
        yield Attending("phrase")
        return
    held = find_pedal(pedal)
    tell(f"Listening while {'the pedal' if pedal else 'a key of this terminal'} is held.")
    try:
        yield Attending("held", held)
    finally:
        held.close()


def _mode(asked: str, pedal: str | None) -> Attention:
    for mode in MODES:
        if asked == mode and (pedal is None or mode == "held"):
            return mode
    if pedal is not None:
        raise AskedError("--pedal goes with --attend held; say that as well.")
    raise AskedError(f"'{asked}' is not a way to listen; say always, phrase or held.")
