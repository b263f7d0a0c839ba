"""Engines that begin on an utterance when the speaker pauses, before it is known to have ended."""

from __future__ import annotations

from dataclasses import replace
from typing import Protocol, runtime_checkable

from assistant.language.automaton import Automaton, automaton_of
from assistant.language.hypothesis import Recognition
from assistant.speech.endpoint import EndpointVerdict, GoesOn, IsOver, Nothing
from assistant.speech.patience import Patience, quiet_needed
from assistant.speech.types import PAUSE, SAMPLE_RATE, Engine, Utterance


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

    def quiet_in(self, utterance: Utterance) -> float | None:
        """The same of ``utterance``, without working out its words; what was shown last stays."""


_LOOK_S = 0.45
"""Seconds between two looks at most: little more than the quiet that ends a whole phrase."""
_UNSURE_S = 0.06
"""By so much another look may find that the same word ends later."""
_MARGIN_S = 0.03
_SOONEST_S = 0.12
_PAUSE_S = PAUSE / SAMPLE_RATE


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
        self._shown: Utterance | None = None

    def grammar(self, jsgf: str | None) -> None:
        """The grammar that the engine listens for; None when the sound is only kept."""
        self._phrases = None if jsgf is None else automaton_of(jsgf)
        self._shown = None

    def begin(self) -> None:
        """Pass the beginning on."""
        if self._engine is not None and self._phrases is not None:
            self._shown = None
            self._engine.begin()

    def paused(self, utterance: Utterance) -> None:
        """Have the engine work out what may be the whole utterance."""
        if self._engine is not None and self._phrases is not None:
            self._shown = utterance
            self._engine.anticipate(utterance)

    def quiet_needed(self) -> float | None:
        """The quiet that ends the utterance, by the words heard so far."""
        if self._phrases is None:
            return None
        if self._engine is None:
            return self._patience.open_end if self._phrases.has_open_end else None
        text = self._engine.so_far()
        return quiet_needed(text, self._phrases, self._patience) if text else None

    def looked(self, utterance: Utterance) -> EndpointVerdict:
        """Whether somebody still speaks in ``utterance``, by the phones in it.

        The answer is worked out of the sound up to the first look that shows a pause after the
        words. So it is ready when a later look finds that nothing was said since.
        """
        engine, phrases = self._engine, self._phrases
        if engine is None or phrases is None:
            return GoesOn(_LOOK_S)
        quiet = engine.quiet_in(utterance)
        if quiet is None:
            return Nothing()
        shown = self._shown
        if shown is None or _said_since(shown, engine.quiet_s(), utterance, quiet):
            engine.anticipate(utterance)
            self._shown = shown = utterance
        needed = quiet_needed(engine.so_far(), phrases, self._patience)
        spoken = len(shown.samples) - PAUSE
        if quiet >= needed:
            return IsOver(spoken)
        paused = quiet >= _PAUSE_S
        if paused:
            engine.anticipate(replace(shown, spoken=spoken))
        # What ends so soon that nothing would be looked at in the pause is looked at in it, too.
        until = needed if paused or needed > _LOOK_S else _PAUSE_S
        return GoesOn(min(_LOOK_S, max(_SOONEST_S, until - quiet + _MARGIN_S)))


def _said_since(shown: Utterance, then: float | None, now: Utterance, quiet: float) -> bool:
    """Whether anything was said after ``shown``, which ended with ``then`` seconds of quiet."""
    if then is None or then < _PAUSE_S:
        return True
    later = (len(now.samples) - len(shown.samples)) / SAMPLE_RATE
    return quiet < then + later - _UNSURE_S
