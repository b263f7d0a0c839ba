"""An engine around another one that passes on all it does not do itself."""

from __future__ import annotations

from assistant.language.hypothesis import Recognition
from assistant.speech.speculative import speculative
from assistant.speech.types import Engine, Utterance


class RecogniserWrapper:
    """As the engine within; what that one cannot do is left undone, as it would be without it."""

    def __init__(self, engine: Engine) -> None:
        self.name = engine.name
        self.within = engine
        self._speculative = speculative(engine)

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar."""
        self.within.listen_for(jsgf, words)

    def recognise(self, utterance: Utterance) -> Recognition:
        """What the engine within heard."""
        return self.within.recognise(utterance)

    def begin(self) -> None:
        """An utterance begins."""
        if self._speculative is not None:
            self._speculative.begin()

    def so_far(self) -> str:
        """The words heard in it up to now."""
        return "" if self._speculative is None else self._speculative.so_far()

    def quiet_s(self) -> float | None:
        """Seconds at the end in which nothing was said; None: in all of it."""
        return 0.0 if self._speculative is None else self._speculative.quiet_s()

    def quiet_in(self, utterance: Utterance) -> float | None:
        """The same of ``utterance``, without working out its words."""
        return 0.0 if self._speculative is None else self._speculative.quiet_in(utterance)

    def anticipate(self, utterance: Utterance) -> None:
        """The speaker paused after ``utterance``."""
        if self._speculative is not None:
            self._speculative.anticipate(utterance)
