"""Speech input from a recogniser behind an endpointer."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from time import monotonic
from typing import Protocol

from assistant.dialogue.expectation import Expectation
from assistant.language.spec import ListenSpec
from assistant.session.edges import EndOfInput, Sound
from assistant.speech.endpoint import Listening
from assistant.speech.speculative import SpeculativeFollower
from assistant.speech.types import Engine, Utterance


class GrammarSource(Protocol):
    """What turns a listening spec into an engine's grammar."""

    def jsgf(self, spec: ListenSpec) -> str:
        """The spec as JSGF text."""

    def words(self, spec: ListenSpec) -> tuple[str, ...]:
        """The words of that grammar."""


class SpokenInput:
    """Recognises each utterance under the grammar of the moment.

    ``utterances`` yields utterances, and None now and then while nothing is heard, so that
    patience can run out. Where it is a :class:`~assistant.speech.endpoint.Listening`, an engine
    that can recognise while listening gets each utterance while it is spoken.
    """

    def __init__(
        self,
        engine: Engine,
        grammars: GrammarSource,
        utterances: Iterator[Utterance | None],
        elapsed: Callable[[], float] = monotonic,
    ) -> None:
        self._engine = engine
        self._grammars = grammars
        self._utterances = utterances
        self._elapsed = elapsed
        self._following = SpeculativeFollower(engine)
        if isinstance(utterances, Listening):
            utterances.tell(self._following)

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        """The next utterance with what it was recognised as.

        Free speech is kept as sound; only the commands that may be said meanwhile are recognised.

        Raises:
            EndOfInput: the source has ended.
        """
        jsgf = self._grammars.jsgf(expected.spec)
        self._engine.listen_for(jsgf, self._grammars.words(expected.spec))
        # a note may pause anywhere: the commands cannot show that it has ended
        self._following.grammar(None if expected.free else jsgf)
        until = None if patience_s is None else self._elapsed() + patience_s
        for utterance in self._utterances:
            if utterance is not None:
                return Sound(self._engine.recognise(utterance), utterance.samples)
            if until is not None and self._elapsed() >= until:
                return None
        raise EndOfInput
