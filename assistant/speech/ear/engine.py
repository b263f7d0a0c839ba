"""Our own recogniser as an engine: the acoustic model and the decoder behind the protocols."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
import soxr

from assistant.language.automaton import automaton_of
from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.language.pronouncing import Phones
from assistant.language.tree import GrammarError
from assistant.speech.ear.decoder import Decoded, decode, held_by, quiet_at_end
from assistant.speech.ear.evidence import overloaded
from assistant.speech.ear.features import Matrix
from assistant.speech.ear.graph import PhoneGraph, graph_of
from assistant.speech.ear.paths import best_beginning
from assistant.speech.ear.posteriors import FRAME_S, Acoustics
from assistant.speech.ear.viterbi import Trellis, trellis
from assistant.speech.errors import SpeechError
from assistant.speech.types import IN_DOUBT, SAMPLE_RATE, Samples, Utterance

_GRAMMARS_KEPT = 256
_NOT_FOR_US = 0.02
"""Confidence below which nobody spoke to the assistant, so that it need not even chime."""
_FASTER = 1.08
"""Tempo and pitch of the second look. Of 14 values that six voices of other accents said in noise
and that were heard wrong with leads of 6.9 to 15.5, 8 led by less than 6 in a look at this tempo;
hardly any right value did (model 2026.11.2)."""


@dataclass(frozen=True, eq=False)
class _LookedAt:
    """``trellis`` of ``sound``; ``decoded``, after a second look, where that was asked for."""

    sound: Samples
    trellis: Trellis
    decoded: Decoded | None = None

    def is_of(self, sound: Samples, graph: PhoneGraph) -> bool:
        return self.trellis.graph is graph and np.array_equal(self.sound, sound)

    @cached_property
    def beginning(self) -> str:
        """The words of the best path, which may be only the beginning of a phrase."""
        return " ".join(best_beginning(self.trellis))


class EarEngine:
    """Listens for one JSGF grammar at a time with ``acoustics`` and the pronunciations ``sounds``.

    The acoustic model needs what follows a sound, so the work is done when the speaker pauses,
    on the sound up to shortly after the last voiced one; the quiet that ends the utterance is
    longer, and its answer is ready then. ``recognise`` gives the same without that.

    It looks twice: at the sound, and at the sound a little faster. What the model makes of an
    unusual accent or of a word half lost in noise often changes with that; what was heard well
    does not. Where noise follows what was said, it looks a third time, at all of it. A phrase leads
    another only by as much as it does in every look.
    """

    name = "ear"

    def __init__(self, acoustics: Acoustics, sounds: Mapping[str, tuple[Phones, ...]]) -> None:
        self._acoustics = acoustics
        self._sounds = sounds
        self._graph: PhoneGraph | None = None
        self._graphs = lru_cache(maxsize=_GRAMMARS_KEPT)(self._compiled)
        self._heard: _LookedAt | None = None
        self._listened: tuple[Samples, Matrix] | None = None

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar.

        Raises:
            SpeechError: a word has no pronunciation, or the grammar is not JSGF.
        """
        self._graph = self._graphs(jsgf)

    def begin(self) -> None:
        """An utterance begins."""
        self._heard = self._listened = None

    def anticipate(self, utterance: Utterance) -> None:
        """The speaker paused: decode what was said up to now."""
        if self._graph is not None:
            self._look(utterance.voiced_part, self._graph)
            # While the speaker goes on, only the words so far are needed.
            if utterance.spoken is not None and utterance.spoken < len(utterance.samples):
                self._decoded(utterance.voiced_part, self._graph)

    def so_far(self) -> str:
        """The words heard in what was shown last, as far as the grammar can explain it."""
        return "" if self._heard is None else self._heard.beginning

    def quiet_s(self) -> float | None:
        """Seconds without a phone at the end of what was shown last; None: in all of it."""
        return None if self._heard is None else _quiet_s(self._heard.trellis.posteriors)

    def quiet_in(self, utterance: Utterance) -> float | None:
        """The same of ``utterance``, without decoding it; what was shown last stays."""
        return _quiet_s(self._posteriors(utterance.voiced_part))

    def recognise(self, utterance: Utterance) -> Recognition:
        """What ``utterance`` may have been, likeliest first; none for talk and noise."""
        if self._graph is None:
            raise SpeechError("The recogniser was given no grammar; give it one before listening.")
        decoded = self._decoded(utterance.voiced_part, self._graph)
        if utterance.noisy and decoded.confidence >= _NOT_FOR_US:
            decoded = held_by(decoded, self._posteriors(utterance.samples), self._sounds)
        self._heard = self._listened = None
        if decoded.confidence < _NOT_FOR_US:
            return Recognition((), self.name)
        best = decoded.phrases[0][1]
        meant = decoded.confidence
        if utterance.cut or overloaded(utterance.voiced_part):
            meant = min(meant, IN_DOUBT)
        hypotheses = []
        for path, nats in decoded.phrases:
            words = tuple(
                Word(
                    placed.word,
                    utterance.start_s + placed.first * FRAME_S,
                    utterance.start_s + (placed.last + 1) * FRAME_S,
                )
                for placed in path.words
            )
            sure = meant * math.exp(nats - best)
            hypotheses.append(Hypothesis(words, sure, best - nats))
        found = tuple(hypotheses)
        return Recognition(
            found, self.name, beyond=decoded.beyond, shared=True, twice=True, by_word=True
        )

    def _look(self, sound: Samples, graph: PhoneGraph) -> _LookedAt:
        if self._heard is None or not self._heard.is_of(sound, graph):
            self._heard = _LookedAt(sound, trellis(graph, self._posteriors(sound)))
        return self._heard

    def _decoded(self, sound: Samples, graph: PhoneGraph) -> Decoded:
        heard = self._look(sound, graph)
        if heard.decoded is not None:
            return heard.decoded
        decoded = decode(heard.trellis, self._sounds)
        if decoded.confidence >= _NOT_FOR_US:
            decoded = held_by(decoded, self._acoustics(_faster(sound)), self._sounds)
        self._heard = replace(heard, decoded=decoded)
        return decoded

    def _posteriors(self, sound: Samples) -> Matrix:
        if self._listened is None or not np.array_equal(self._listened[0], sound):
            self._listened = sound, self._acoustics(sound)
        return self._listened[1]

    def _compiled(self, jsgf: str) -> PhoneGraph:
        try:
            phrases = automaton_of(jsgf)
        except GrammarError as error:
            raise SpeechError(f"The recogniser cannot read this grammar: {error}") from error
        return graph_of(phrases, self._sounds)


def _quiet_s(posteriors: Matrix) -> float | None:
    quiet = quiet_at_end(posteriors)
    return None if quiet is None else quiet * FRAME_S


def _faster(sound: Samples) -> Samples:
    """``sound`` played at the second look's tempo."""
    played = soxr.resample(sound.astype(np.float32), SAMPLE_RATE * _FASTER, SAMPLE_RATE)
    return np.asarray(np.clip(played, -32768, 32767), np.int16)
