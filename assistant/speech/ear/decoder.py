"""One utterance under one grammar: what was likely said, how likely, and when."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from assistant.language.pronouncing import Phones
from assistant.speech.ear.evidence import confidence
from assistant.speech.ear.features import Matrix
from assistant.speech.ear.likelihood import log_likelihoods
from assistant.speech.ear.paths import Path, best_phrases
from assistant.speech.ear.viterbi import Trellis

MOST = 32
"""Phrases that are compared by their whole likelihood."""
WITHIN = 25.0
"""Nats behind the best path beyond which a phrase is not worth comparing."""

_HALF = math.log(0.5)


@dataclass(frozen=True)
class Decoded:
    """``phrases``, likeliest first, each with its log likelihood in nats, times by its best path.

    ``beyond``: nats by which any other phrase lies behind the best of them at least.
    ``confidence``: that any of this was said to the assistant, 0 to 1.
    """

    phrases: tuple[tuple[Path, float], ...]
    beyond: float
    confidence: float


def decode(found: Trellis, sounds: Mapping[str, tuple[Phones, ...]]) -> Decoded:
    """The likeliest phrases of ``found``, and how likely each is."""
    paths = best_phrases(found, MOST, WITHIN)
    if not paths:
        return Decoded((), 0.0, 0.0)
    nats = log_likelihoods([path.text for path in paths], found.posteriors, sounds)
    ranked = tuple(sorted(zip(paths, nats, strict=True), key=lambda one: -one[1]))
    beyond = WITHIN if len(paths) < MOST else paths[0].nats - paths[-1].nats
    return Decoded(ranked, beyond, confidence(sum(w.phones for w in ranked[0][0].words), nats))


def quiet_at_end(posteriors: Matrix) -> int | None:
    """Frames at the end in which no phone is likelier than the blank; None: in all of them."""
    voiced = np.flatnonzero(posteriors[:, 0] < _HALF)
    return len(posteriors) - 1 - int(voiced[-1]) if len(voiced) else None


def held_by(
    decoded: Decoded, posteriors: Matrix, sounds: Mapping[str, tuple[Phones, ...]]
) -> Decoded:
    """``decoded``, where no lead is greater than ``posteriors`` of a second look give it.

    The likeliest phrase stays the first. Another that is likelier by the second look stands level
    with it, so that neither is trusted.
    """
    if len(decoded.phrases) < 2:
        return decoded
    paths = [path for path, _ in decoded.phrases]
    first = [nats for _, nats in decoded.phrases]
    second = log_likelihoods([path.text for path in paths], posteriors, sounds)
    behind = [
        max(0.0, min(first[0] - one, second[0] - other if other > -math.inf else math.inf))
        for one, other in zip(first, second, strict=True)
    ]
    ranked = sorted(zip(paths, behind, strict=True), key=lambda one: one[1])
    return replace(decoded, phrases=tuple((path, first[0] - lead) for path, lead in ranked))
