"""An engine around another one that passes on all it does not do itself."""

from __future__ import annotations

from assistant.language.hypothesis import Recognition
from assistant.speech.speculative import SpeculativeRecogniser
from assistant.speech.types import Engine, Utterance


class RecogniserWrapper:
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
        if isinstance(self._engine, SpeculativeRecogniser):
            self._engine.begin()

    def so_far(self) -> str:
        """The words heard in it up to now."""
        return self._engine.so_far() if isinstance(self._engine, SpeculativeRecogniser) else ""

    def quiet_s(self) -> float | None:
        """Seconds at the end in which nothing was said; None: in all of it."""
        return self._engine.quiet_s() if isinstance(self._engine, SpeculativeRecogniser) else 0.0

    def anticipate(self, utterance: Utterance) -> None:
        """The speaker paused after ``utterance``."""
        if isinstance(self._engine, SpeculativeRecogniser):
            self._engine.anticipate(utterance)
