"""An engine around another one that passes on all it does not do itself."""

from __future__ import annotations

from assistant.language.hypothesis import Recognition
from assistant.speech.along import Anticipates, HearsAlong
from assistant.speech.types import Engine, Samples, Utterance


class PassingOn:
    """As the engine within; what that one cannot do is left undone, as it would be without it."""

    def __init__(self, engine: Engine) -> None:
        self.name = engine.name
        self._engine = engine

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar."""
        self._engine.listen_for(jsgf, words)

    def recognise(self, utterance: Utterance) -> Recognition:
        """What the engine within heard."""
        return self._engine.recognise(utterance)

    def begin(self) -> None:
        """An utterance begins."""
        if isinstance(self._engine, HearsAlong):
            self._engine.begin()

    def feed(self, samples: Samples) -> None:
        """The next samples of it."""
        if isinstance(self._engine, HearsAlong):
            self._engine.feed(samples)

    def so_far(self) -> str:
        """The words heard in it up to now."""
        return self._engine.so_far() if isinstance(self._engine, HearsAlong) else ""

    def anticipate(self, utterance: Utterance) -> None:
        """The speaker paused after ``utterance``."""
        if isinstance(self._engine, Anticipates):
            self._engine.anticipate(utterance)
