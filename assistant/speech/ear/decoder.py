"""One utterance under one grammar: what was likely said, how likely, and when."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from assistant.language.pronouncing import Phones
from assistant.speech.ear.evidence import Evidence
from assistant.speech.ear.features import Matrix
from assistant.speech.ear.graph import PhoneGraph
from assistant.speech.ear.likelihood import log_likelihoods
from assistant.speech.ear.paths import Path, best_beginning, best_phrases
from assistant.speech.ear.viterbi import trellis

MOST = 16
"""Phrases that are compared by their whole likelihood."""
WITHIN = 25.0
"""Nats behind the best path beyond which a phrase is not worth comparing."""


@dataclass(frozen=True)
class Decoded:
    """``phrases``, likeliest first, each with its log likelihood in nats, times by its best path.

    ``beyond``: nats by which any other phrase lies behind the best of them at least.
    ``evidence``: of the likeliest; None where the sound is too short for any phrase.
    ``beginning``: the words of the best path, which may be only the beginning of a phrase.
    """

    phrases: tuple[tuple[Path, float], ...]
    beyond: float
    evidence: Evidence | None
    beginning: tuple[str, ...]


def decode(
    graph: PhoneGraph, posteriors: Matrix, sounds: Mapping[str, tuple[Phones, ...]]
) -> Decoded:
    """Decode ``posteriors``, log probabilities (frames, 40)."""
    if not len(posteriors):
        return Decoded((), 0.0, None, ())
    found = trellis(graph, posteriors)
    paths = best_phrases(found, MOST, WITHIN)
    if not paths:
        return Decoded((), 0.0, None, best_beginning(found))
    nats = log_likelihoods([path.text for path in paths], posteriors, sounds)
    ranked = tuple(sorted(zip(paths, nats, strict=True), key=lambda one: -one[1]))
    beyond = WITHIN if len(paths) < MOST else paths[0].nats - paths[-1].nats
    return Decoded(ranked, beyond, Evidence.of(found, ranked[0][0]), best_beginning(found))
