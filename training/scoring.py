"""What an exported model makes of a sound: scores, its greedy phones, likelihoods of phrases.

The likelihood of a phrase is the sum over all ways to say its phones in the frames (the
forward pass of connectionist temporal classification). So the difference of two is a likelihood
ratio in nats.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice, product
from pathlib import Path

import numpy as np
import onnxruntime
import torch
from numpy.typing import NDArray

from assistant.speech.ear.posteriors import labels_of
from training.features import log_mel
from training.phones import BLANK, Pronunciations

Scores = NDArray[np.float64]
_MOST_WAYS = 8


class Ear:
    """An exported model."""

    def __init__(self, model: Path, threads: int = 1) -> None:
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = threads
        options.log_severity_level = 3
        self._session = onnxruntime.InferenceSession(
            model, options, providers=["CPUExecutionProvider"]
        )

    def logits(self, sound: NDArray[np.int16]) -> Scores:
        """Scores (frames, 41) of a sound at 16 kHz."""
        mel = log_mel(torch.from_numpy(sound.astype(np.float32) / 32768)[None])
        (scores,) = self._session.run(None, {"mel": mel[:, :, : mel.shape[2] // 2 * 2].numpy()})
        found: NDArray[np.float64] = np.asarray(scores, np.float64)[0]
        return found


def log_softmax(logits: Scores, temperature: float = 1.0) -> Scores:
    """Log probabilities of the phones in each frame."""
    scaled = logits / temperature
    top = scaled.max(1, keepdims=True)
    return np.asarray(scaled - top - np.log(np.exp(scaled - top).sum(1, keepdims=True)))


def greedy(logits: Scores) -> list[int]:
    """The likeliest phone of each frame, repeats and blanks left out."""
    best = logits.argmax(1)
    return [int(p) for p, before in zip(best, [BLANK, *best], strict=False) if p not in (before, 0)]


def distance(one: Sequence[int], other: Sequence[int]) -> int:
    """Edit distance: the phones to put in, leave out or change."""
    row = list(range(len(other) + 1))
    for i, x in enumerate(one, 1):
        above, row = row, [i]
        for j, y in enumerate(other, 1):
            row.append(min(above[j] + 1, row[-1] + 1, above[j - 1] + (x != y)))
    return row[-1]


def ways(text: str, known: Pronunciations) -> Iterator[list[int]]:
    """The pronunciations of a phrase, the first ones first."""
    of_words = [[labels_of(word, way) for way in known[word]] for word in text.split()]
    for way in islice(product(*of_words), _MOST_WAYS):
        yield [label for labels in way for label in labels]


def likelihoods(logp: Scores, phrases: Sequence[Sequence[int]]) -> Scores:
    """Log likelihood of each string of phones over all frames of ``logp``."""
    longest = max(len(p) for p in phrases)
    labels = np.zeros((len(phrases), 2 * longest + 1), np.int64)
    for row, phones in zip(labels, phrases, strict=True):
        row[1 : 2 * len(phones) : 2] = phones
    skip = np.zeros(labels.shape, bool)
    skip[:, 2:] = (labels[:, 2:] != BLANK) & (labels[:, 2:] != labels[:, :-2])
    low = -1e30
    alpha = np.full(labels.shape, low)
    alpha[:, 0] = logp[0, BLANK]
    alpha[:, 1] = logp[0, labels[:, 1]]
    for frame in logp[1:]:
        one = np.concatenate([np.full((len(labels), 1), low), alpha[:, :-1]], 1)
        two = np.concatenate([np.full((len(labels), 2), low), alpha[:, :-2]], 1)
        alpha = np.logaddexp(np.logaddexp(alpha, one), np.where(skip, two, low))
        alpha += frame[labels]
    end = np.array([2 * len(p) for p in phrases])
    rows = np.arange(len(phrases))
    return np.asarray(np.logaddexp(alpha[rows, end], alpha[rows, end - 1]))


def closed_set(logp: Scores, options: Sequence[str], known: Pronunciations) -> Scores:
    """Log likelihood of each of the phrases, over its ways to be said."""
    spread = [(n, way) for n, text in enumerate(options) for way in ways(text, known)]
    found = likelihoods(logp, [way for _, way in spread])
    total = np.full(len(options), -1e30)
    for (n, _), value in zip(spread, found, strict=True):
        total[n] = np.logaddexp(total[n], value)
    return total
