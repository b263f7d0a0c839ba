"""Has an engine hear along with the endpointer, and tells the endpointer how long to wait."""

from __future__ import annotations

from assistant.language.automaton import Automaton, automaton_of
from assistant.speech.along import Anticipates, HearsAlong
from assistant.speech.patience import Patience, quiet_needed
from assistant.speech.types import Engine, Samples, Utterance


class FollowedBy:
    """An endpointer's follower on behalf of ``engine``, whatever that can do.

    With an engine that does not hear along, the endpointer's usual time of quiet holds.
    """

    def __init__(self, engine: Engine, patience: Patience | None = None) -> None:
        self._along = engine if isinstance(engine, HearsAlong) else None
        self._anticipates = engine if isinstance(engine, Anticipates) else None
        self._patience = patience or Patience()
        self._phrases: Automaton | None = None

    def grammar(self, jsgf: str | None) -> None:
        """The grammar that the engine listens for; None when the sound is only kept."""
        self._phrases = None if jsgf is None else automaton_of(jsgf)

    def begin(self) -> None:
        """Pass the beginning on."""
        if self._along is not None and self._phrases is not None:
            self._along.begin()

    def feed(self, samples: Samples) -> None:
        """Pass the sound on."""
        if self._along is not None and self._phrases is not None:
            self._along.feed(samples)

    def paused(self, utterance: Utterance) -> None:
        """Let the engine begin on what may be the whole utterance."""
        if self._anticipates is not None and self._phrases is not None:
            self._anticipates.anticipate(utterance)

    def quiet_needed(self) -> float | None:
        """The quiet that ends the utterance, by the words heard so far."""
        if self._along is None or self._phrases is None:
            return None
        text = self._along.so_far()
        return quiet_needed(text, self._phrases, self._patience) if text else None
