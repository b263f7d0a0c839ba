"""Engines that begin on an utterance when the speaker pauses, before it is known to have ended."""

from __future__ import annotations

from typing import Protocol, runtime_checkable

from assistant.language.automaton import Automaton, automaton_of
from assistant.language.hypothesis import Recognition
from assistant.speech.endpoint import Verdict
from assistant.speech.patience import Patience, quiet_needed
from assistant.speech.types import Engine, Utterance


@runtime_checkable
class SpeculativeRecogniser(Protocol):
    """An engine that may be shown an utterance at each pause in it.

    It changes when the work is done, never the answer: ``recognise`` gives the same for an
    utterance that was shown before as for one that was not. An engine around another one passes
    the calls on.
    """

    name: str

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """As :class:`~assistant.speech.types.Engine`."""

    def recognise(self, utterance: Utterance) -> Recognition:
        """As :class:`~assistant.speech.types.Engine`."""

    def begin(self) -> None:
        """An utterance begins; what was heard before is forgotten."""

    def anticipate(self, utterance: Utterance) -> None:
        """Work out ``utterance``, after which the speaker paused or may go on.

        Returns when that is done.
        """

    def so_far(self) -> str:
        """The words heard in what was shown last; empty when there are none yet."""

    def quiet_s(self) -> float | None:
        """Seconds at the end of what was shown last in which nothing was said; None: in all of it.

        Noise is quiet; any speech is not, whether it is of the grammar or not.
        """


@runtime_checkable
class Wrapper(Protocol):
    """An engine around another one; it passes on all that it does not do itself."""

    @property
    def within(self) -> Engine:
        """The engine that it is around."""


def speculative(engine: Engine) -> SpeculativeRecogniser | None:
    """``engine`` where it can work while the speaker speaks.

    A wrapper has the calls, but can do that only where the engine within can.
    """
    within = engine
    while isinstance(within, Wrapper):
        within = within.within
    if isinstance(engine, SpeculativeRecogniser) and isinstance(within, SpeculativeRecogniser):
        return engine
    return None


class SpeculativeFollower:
    """An endpointer's follower: shows pauses to ``engine``, and tells how long to wait.

    An engine that is not speculative cannot tell what was said so far. Where it may be the
    beginning of something longer, such as a value, it waits as long as that needs; else the
    endpointer's usual time of quiet holds.
    """

    def __init__(self, engine: Engine, patience: Patience | None = None) -> None:
        self._engine = speculative(engine)
        self._patience = patience or Patience()
        self._phrases: Automaton | None = None

    def grammar(self, jsgf: str | None) -> None:
        """The grammar that the engine listens for; None when the sound is only kept."""
        self._phrases = None if jsgf is None else automaton_of(jsgf)

    def begin(self) -> None:
        """Pass the beginning on."""
        if self._engine is not None and self._phrases is not None:
            self._engine.begin()

    def paused(self, utterance: Utterance) -> None:
        """Have the engine work out what may be the whole utterance."""
        if self._engine is not None and self._phrases is not None:
            self._engine.anticipate(utterance)

    def quiet_needed(self) -> float | None:
        """The quiet that ends the utterance, by the words heard so far."""
        if self._phrases is None:
            return None
        if self._engine is None:
            return self._patience.open_end if self._phrases.has_open_end else None
        text = self._engine.so_far()
        return quiet_needed(text, self._phrases, self._patience) if text else None

    def looked(self, utterance: Utterance) -> Verdict:
        """Whether somebody still speaks in ``utterance``, by the phones in it."""
        if self._engine is None or self._phrases is None:
            return "goes on"
        self._engine.anticipate(utterance)
        quiet = self._engine.quiet_s()
        if quiet is None:
            return "nothing"
        needed = quiet_needed(self._engine.so_far(), self._phrases, self._patience)
        return "is over" if quiet >= needed else "goes on"
