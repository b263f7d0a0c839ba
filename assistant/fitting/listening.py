"""Recognises the phrases of the check as a session does: same endpointer, same engine."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from assistant.dialogue.expectation import Expectation
from assistant.fitting.words import Asked
from assistant.fitting.wrapper import RecogniserWrapper
from assistant.language import Language
from assistant.language.hypothesis import Recognition
from assistant.language.spec import ListenSpec
from assistant.session.edges import EndOfInput
from assistant.session.spoken_input import SpokenInput
from assistant.speech.endpoint import heard_or_quiet
from assistant.speech.types import SAMPLE_RATE, Engine, Samples, Utterance


class Grammars:
    """The grammar of the phrase asked for: a session's own, or one that came with a recording."""

    def __init__(self, language: Language) -> None:
        self.asked: Asked | None = None
        self._language = language

    def jsgf(self, spec: ListenSpec) -> str:
        """The grammar as JSGF text."""
        own = self.asked.task.jsgf if self.asked is not None else ""
        return own or self._language.jsgf(spec)

    def words(self, spec: ListenSpec) -> tuple[str, ...]:
        """The words of it."""
        if self.asked is not None and self.asked.task.spec is None:
            return self.asked.task.words
        return self._language.words(spec)


class CheckListening:
    """Listens to ``blocks`` and keeps the sound, to measure speech and room by.

    Patience is counted in sound taken, not by a clock.
    """

    def __init__(self, engine: Engine, language: Language, blocks: Iterable[Samples]) -> None:
        self.found: list[Utterance] = []
        self._kept: list[Samples] = []
        self._taken = 0
        self._grammars = Grammars(language)
        self._source = SpokenInput(
            _Keeping(engine, self.found),
            self._grammars,
            heard_or_quiet(self._keep(blocks)),
            lambda: self._taken / SAMPLE_RATE,
        )

    def hear(self, asked: Asked, patience_s: float | None = None) -> Recognition | None:
        """What is heard where ``asked`` is to be said; None when patience ran out.

        Raises:
            EndOfInput: the source has ended.
        """
        self._grammars.asked = asked
        sound = self._source.hear(Expectation(asked.task.spec or ListenSpec()), patience_s)
        return None if sound is None else sound.recognition

    def quiet(self, seconds: float, before: Asked) -> None:
        """Take ``seconds`` of sound in which nobody is to speak; what is heard is let go.

        Raises:
            EndOfInput: the source has ended.
        """
        until = self._taken + seconds * SAMPLE_RATE
        while self._taken < until:
            self.hear(before, (until - self._taken) / SAMPLE_RATE)

    @property
    def ended(self) -> bool:
        """Whether the source has ended; takes what is left of it."""
        assert self._grammars.asked is not None
        try:
            self.hear(self._grammars.asked)
        except EndOfInput:
            return True
        return False

    @property
    def speech(self) -> tuple[Samples, ...]:
        """The sound of every utterance so far."""
        return tuple(u.samples for u in self.found)

    @property
    def room(self) -> Samples:
        """The sound outside of all utterances so far."""
        whole = np.concatenate((np.zeros(0, np.int16), *self._kept))
        outside = np.ones(len(whole), bool)
        for u in self.found:
            start = round(u.start_s * SAMPLE_RATE)
            outside[start : start + len(u.samples)] = False
        left: Samples = whole[outside]
        return left

    def _keep(self, blocks: Iterable[Samples]) -> Iterator[Samples]:
        for block in blocks:
            self._kept.append(block)
            self._taken += len(block)
            yield block


class _Keeping(RecogniserWrapper):
    """Keeps every utterance that the engine is given."""

    def __init__(self, engine: Engine, found: list[Utterance]) -> None:
        super().__init__(engine)
        self._found = found

    def recognise(self, utterance: Utterance) -> Recognition:
        self._found.append(utterance)
        return self.within.recognise(utterance)
