"""Our own recogniser as an engine: the acoustic model and the decoder behind the protocols."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
import soxr

from assistant.language.automaton import automaton_of
from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.language.pronouncing import Phones
from assistant.language.tree import GrammarError
from assistant.speech.ear.decoder import Decoded, decode, held_by
from assistant.speech.ear.evidence import overloaded
from assistant.speech.ear.graph import PhoneGraph, graph_of
from assistant.speech.ear.posteriors import FRAME_S, Acoustics
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
    """What was heard in ``sound``; ``twice``: after a second look."""

    sound: Samples
    graph: PhoneGraph
    decoded: Decoded
    twice: bool = False

    def is_of(self, sound: Samples, graph: PhoneGraph) -> bool:
        same = self.graph is graph and len(self.sound) == len(sound)
        return same and bool((self.sound == sound).all())


class EarEngine:
    """Listens for one JSGF grammar at a time with ``acoustics`` and the pronunciations ``sounds``.

    The acoustic model needs what follows a sound, so the work is done when the speaker pauses,
    on the sound up to shortly after the last voiced one; the quiet that ends the utterance is
    longer, and its answer is ready then. ``recognise`` gives the same without that.

    It looks twice: at the sound, and at the sound a little faster. What the model makes of an
    unusual accent or of a word half lost in noise often changes with that; what was heard well
    does not. A phrase leads another only by as much as it does in both looks.
    """

    name = "ear"

    def __init__(self, acoustics: Acoustics, sounds: Mapping[str, tuple[Phones, ...]]) -> None:
        self._acoustics = acoustics
        self._sounds = sounds
        self._graph: PhoneGraph | None = None
        self._graphs = lru_cache(maxsize=_GRAMMARS_KEPT)(self._compiled)
        self._heard: _LookedAt | None = None

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar.

        Raises:
            SpeechError: a word has no pronunciation, or the grammar is not JSGF.
        """
        self._graph = self._graphs(jsgf)

    def begin(self) -> None:
        """An utterance begins."""
        self._heard = None

    def anticipate(self, utterance: Utterance) -> None:
        """The speaker paused: decode what was said up to now."""
        if self._graph is not None:
            # While the speaker goes on, only the words so far are needed.
            paused = utterance.spoken is not None and utterance.spoken < len(utterance.samples)
            self._decoded(utterance, self._graph, twice=paused)

    def so_far(self) -> str:
        """The words heard in what was shown last, as far as the grammar can explain it."""
        return "" if self._heard is None else " ".join(self._heard.decoded.beginning)

    def quiet_s(self) -> float | None:
        """Seconds without a phone at the end of what was shown last; None: in all of it."""
        quiet = None if self._heard is None else self._heard.decoded.quiet
        return None if quiet is None else quiet * FRAME_S

    def recognise(self, utterance: Utterance) -> Recognition:
        """What ``utterance`` may have been, likeliest first; none for talk and noise."""
        if self._graph is None:
            raise SpeechError("The recogniser was given no grammar; give it one before listening.")
        decoded = self._decoded(utterance, self._graph, twice=True)
        self._heard = None
        if decoded.confidence < _NOT_FOR_US:
            return Recognition((), self.name)
        best = decoded.phrases[0][1]
        meant = decoded.confidence
        if utterance.cut or overloaded(utterance.attended):
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
        return Recognition(found, self.name, beyond=decoded.beyond, shared=True, twice=True)

    def _decoded(self, utterance: Utterance, graph: PhoneGraph, twice: bool) -> Decoded:
        sound = utterance.attended
        heard = self._heard
        if heard is None or not heard.is_of(sound, graph):
            heard = _LookedAt(sound, graph, decode(graph, self._acoustics(sound), self._sounds))
        if twice and not heard.twice:
            decoded = heard.decoded
            if decoded.confidence >= _NOT_FOR_US:
                decoded = held_by(decoded, self._acoustics(_faster(sound)), self._sounds)
            heard = replace(heard, decoded=decoded, twice=True)
        self._heard = heard
        return heard.decoded

    def _compiled(self, jsgf: str) -> PhoneGraph:
        try:
            phrases = automaton_of(jsgf)
        except GrammarError as error:
            raise SpeechError(f"The recogniser cannot read this grammar: {error}") from error
        return graph_of(phrases, self._sounds)


def _faster(sound: Samples) -> Samples:
    """``sound`` played at the second look's tempo."""
    played = soxr.resample(sound.astype(np.float32), SAMPLE_RATE * _FASTER, SAMPLE_RATE)
    return np.asarray(np.clip(played, -32768, 32767), np.int16)
