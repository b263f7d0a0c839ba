"""Posteriors made of pronunciations: what an acoustic model gives for clear speech."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from assistant.language.pronouncing import Phones
from assistant.speech.ear.features import Matrix
from assistant.speech.ear.posteriors import LABELS, labels_of

QUIET = 10  # frames before and, usually, after


def spoken(
    text: str,
    sounds: Mapping[str, tuple[Phones, ...]],
    seed: int = 0,
    sure: float = 0.9,
    after: int = QUIET,
) -> Matrix:
    """``text`` in the first pronunciation of each word: a frame for a phone, two blanks after it.

    The right label has ``sure`` of the probability and more; the rest is spread at random.
    """
    labels = [0] * QUIET
    for word in text.split():
        for label in labels_of(word, sounds[word][0]):
            labels += [label, 0, 0]
    return frames(labels + [0] * after, seed, sure)


def frames(labels: list[int], seed: int = 0, sure: float = 0.9) -> Matrix:
    """A row for each of ``labels``."""
    rng = np.random.default_rng(seed)
    chances = rng.dirichlet(np.full(len(LABELS) + 1, 0.05), len(labels)) * (1.0 - sure)
    chances[np.arange(len(labels)), labels] += sure
    chances = 0.9999 * chances + 0.0001 / chances.shape[1]
    found: Matrix = np.log(chances).astype(np.float32)
    return found
