"""How likely given phrases are: the sum over all their pronunciations and times (CTC forward).

A CTC network's probabilities over all strings of phones add up to one (Graves and others, 2006,
equation 3), so the difference of two phrases' nats is the logarithm of a likelihood ratio. Sums are
of plain probabilities in double precision, scaled for each phrase apart, as Rabiner's tutorial on
hidden Markov models does (1989, section V.A).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from assistant.language.pronouncing import Phones
from assistant.speech.ear.features import Matrix
from assistant.speech.ear.graph import Chain, joined, pronounced, with_shared

_SCALE_EVERY = 8
"""Frames; a phrase loses at most a factor of 1e-8 or so in one."""
_LEAST = 1e-300


def log_likelihoods(
    phrases: Sequence[Sequence[str]],
    posteriors: Matrix,
    sounds: Mapping[str, tuple[Phones, ...]],
) -> list[float]:
    """For each phrase, a sequence of words: log P(phrase | sound) in nats; -inf where too unlikely.

    ``posteriors``: log probabilities (frames, 41). All phrases are taken through the frames at
    once: some 40 microseconds a frame for sixteen of them.

    Raises:
        SpeechError: a word has no pronunciation.
    """
    chains: list[Chain] = []
    beginnings: list[int] = []
    ends: list[int] = []
    places: list[int] = []  # where the places of each phrase begin
    hub = count = 0
    for phrase in phrases:
        beginnings.append(hub)
        places.append(count)
        own = [
            Chain(word, labels, (hub + n,), hub + n + 1)
            for n, word in enumerate(phrase)
            for labels in pronounced(word, sounds)
        ]
        ends.append(hub + len(phrase))
        own, hub = with_shared(own, hub + len(phrase) + 1)
        chains += own
        count += sum(len(chain.labels) for chain in own)
    graph = joined(chains, hub, ends)
    owner = np.searchsorted(places, np.arange(count), side="right") - 1
    hub_owner = np.searchsorted(beginnings, np.arange(hub), side="right") - 1

    chances = np.exp(posteriors.astype(np.float64))
    on = np.zeros(count + 1)
    after = np.zeros(count + 1)
    blank = np.zeros(hub)
    blank[beginnings] = 1.0
    nats = np.zeros(len(phrases))
    skips = graph.skips.astype(np.float64)

    def doors() -> NDArray[np.float64]:
        return graph.doors.sums(graph.tails.sums(on)) + blank[graph.door_hub]

    for frame in range(len(posteriors)):
        standing = doors()
        now = on[:-1].copy()
        now[1:] += on[: count - 1] * skips[1:] + after[: count - 1]
        now[graph.first] += graph.entries.sums(standing)[graph.entry_of]
        now *= chances[frame, graph.phones]
        after[:-1] = (on[:-1] + after[:-1]) * chances[frame, 0]
        after[graph.last] = 0.0
        on[:-1] = now
        blank = standing[:hub] * chances[frame, 0]
        if frame % _SCALE_EVERY == _SCALE_EVERY - 1:
            top = np.maximum(
                np.maximum.reduceat(np.maximum(now, after[:-1]), places),
                np.maximum.reduceat(blank, beginnings),
            )
            top = np.maximum(top, _LEAST)
            nats += np.log(top)
            on[:-1] /= top[owner]
            after[:-1] /= top[owner]
            blank /= top[hub_owner]
    reached = doors()[ends]
    with np.errstate(divide="ignore"):
        return [float(value) for value in np.log(reached) + nats]
