"""A grammar as a network of phones: its word automaton with every word spelled in phones.

A *hub* is a state of the word automaton. A *chain* is one pronunciation of one word on its way to
one hub. Words that lead to the same hub from several others share a chain, which keeps the
network small: 2,600 phones for the readings of a micrometer. Between two phones, and in a hub,
the CTC blank may stand for any time; it must stand between two equal phones (Graves and others,
*Connectionist Temporal Classification*, 2006, section 4.1).

Hardly anybody says both N of "sixteen newton". So a consonant that ends one word and begins the
next may also be said once: between such words there is a second hub, for those that leave it out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from assistant.language.automaton import Automaton
from assistant.language.pronouncing import Phones
from assistant.speech.ear.posteriors import CONSONANTS, labels_of
from assistant.speech.errors import SpeechError

Numbers = NDArray[np.intp]


@dataclass(frozen=True)
class Chain:
    """``word`` said as ``labels``, from any of the hubs ``sources`` to the hub ``target``."""

    word: str
    labels: tuple[int, ...]
    sources: tuple[int, ...]
    target: int


@dataclass(frozen=True)
class Segments:
    """Lists of numbers laid end to end: ``members``, of which a list begins at each ``start``."""

    members: Numbers
    starts: Numbers

    @staticmethod
    def of(lists: Iterable[Sequence[int]]) -> Segments:
        """None of ``lists`` may be empty."""
        kept = list(lists)
        lengths = np.array([len(one) for one in kept], np.intp)
        members = np.array([number for one in kept for number in one], np.intp)
        return Segments(members, np.concatenate(([0], np.cumsum(lengths)[:-1])).astype(np.intp))

    def largest(self, values: NDArray[np.float32]) -> NDArray[np.float32]:
        """The largest of ``values`` in each list."""
        return np.maximum.reduceat(values[self.members], self.starts)

    def sums(self, values: NDArray[np.float64]) -> NDArray[np.float64]:
        """The sum of ``values`` in each list."""
        return np.add.reduceat(values[self.members], self.starts)


@dataclass(frozen=True, eq=False)
class PhoneGraph:
    """The phones of all chains, laid end to end, and how words are joined in hubs.

    ``phones``: the label of every place. ``first`` and ``last``: places where each chain begins
    and ends. ``skips``: whether a place may follow the one before it without a blank. Hub 0 is the
    start; ``finals`` are hubs in which a phrase may end.

    Joints, which a decoder computes in this order for each frame:

    - ``tails``, for each hub and label: the chains' ends that reach the hub with that label. A
      last, empty one stands for nothing.
    - ``doors``, for each hub: all tails; then, where a word that begins like a tail ends may
      follow, all other tails.
    - ``entries``: each set of doors through which some chain may be entered.
    - ``entry_of``: the entry of each chain.
    """

    chains: tuple[Chain, ...]
    finals: tuple[int, ...]
    hubs: int
    phones: Numbers
    first: Numbers
    last: Numbers
    skips: NDArray[np.bool_]
    tails: Segments
    doors: Segments
    door_hub: Numbers
    entries: Segments
    entry_of: Numbers

    @cached_property
    def into(self) -> tuple[Numbers, ...]:
        """For every hub, the chains that lead to it."""
        found: list[list[int]] = [[] for _ in range(self.hubs)]
        for number, chain in enumerate(self.chains):
            found[chain.target].append(number)
        return tuple(np.array(numbers, np.intp) for numbers in found)


def graph_of(phrases: Automaton, sounds: Mapping[str, tuple[Phones, ...]]) -> PhoneGraph:
    """The network of ``phrases``; every pronunciation in ``sounds`` counts.

    Raises:
        SpeechError: a word has no pronunciation, or one in phones that the model does not know.
    """
    sources: dict[tuple[str, int], list[int]] = {}
    for state, onward in enumerate(phrases.onward):
        for word, to in onward.items():
            sources.setdefault((word, to), []).append(state)
    chains = [
        Chain(word, labels, tuple(states), to)
        for (word, to), states in sources.items()
        for labels in pronounced(word, sounds)
    ]
    return joined(*with_shared(chains, len(phrases.onward)), finals=sorted(phrases.finals))


def with_shared(chains: Sequence[Chain], hubs: int) -> tuple[list[Chain], int]:
    """``chains`` and those that share a consonant with the word before; how many hubs there are."""
    ends = {(chain.target, chain.labels[-1]) for chain in chains}
    begins = {(s, c.labels[0]) for c in chains if len(c.labels) > 1 for s in c.sources}
    shared = sorted((hub, label) for hub, label in ends & begins if label in CONSONANTS)
    second = {key: number for number, key in enumerate(shared, hubs)}
    found = list(chains)
    for chain in chains:
        target = second.get((chain.target, chain.labels[-1]))
        if target is not None:
            found.append(replace(chain, target=target))
        sources = tuple(n for s in chain.sources if (n := second.get((s, chain.labels[0]))))
        if sources and len(chain.labels) > 1:
            rest = replace(chain, labels=chain.labels[1:], sources=sources)
            found.append(rest)
            if target is not None:
                found.append(replace(rest, target=target))
    return found, hubs + len(second)


def pronounced(word: str, sounds: Mapping[str, tuple[Phones, ...]]) -> tuple[tuple[int, ...], ...]:
    """The ways to say ``word``, as labels of the model.

    Raises:
        SpeechError: there is none, or it uses a phone that the model does not know.
    """
    ways = sounds.get(word, ())
    if not ways:
        raise SpeechError(
            f"The recogniser does not know how the word '{word}' sounds; add its phones to the "
            "language's lexicon."
        )
    try:
        return tuple(dict.fromkeys(labels_of(word, way) for way in ways))
    except KeyError as error:
        raise SpeechError(
            f"The word '{word}' is written with {error.args[0]}, which the model has no phone for; "
            "fix the language's lexicon."
        ) from None


def joined(chains: Sequence[Chain], hubs: int, finals: Iterable[int]) -> PhoneGraph:
    """The network of ``chains`` between ``hubs`` hubs."""
    lengths = np.array([len(chain.labels) for chain in chains], np.intp)
    last = np.cumsum(lengths) - 1
    first = last - lengths + 1
    phones = np.array([label for chain in chains for label in chain.labels], np.intp)
    skips = np.concatenate(([False], phones[1:] != phones[:-1]))
    skips[first] = False

    ends: dict[tuple[int, int], list[int]] = {}
    for number, chain in enumerate(chains):
        ends.setdefault((chain.target, chain.labels[-1]), []).append(int(last[number]))
    tail = {key: number for number, key in enumerate(ends)}
    nothing = len(tail)
    labels_into: dict[int, list[int]] = {}
    for hub, label in tail:
        labels_into.setdefault(hub, []).append(label)

    doors: dict[tuple[int, int], list[int]] = {}
    numbered: dict[tuple[int, int], int] = {}

    def door(hub: int, barred: int) -> int:
        """The number of the door out of ``hub`` for a word that begins with ``barred``."""
        labels = labels_into.get(hub, ())
        key = (hub, barred if barred in labels else 0)
        if key not in doors:
            doors[key] = [tail[hub, label] for label in labels if label != key[1]] or [nothing]
            numbered[key] = len(numbered)
        return numbered[key]

    for hub in range(hubs):
        door(hub, 0)
    entries: dict[tuple[int, ...], int] = {}
    entry_of = []
    for chain in chains:
        through = tuple(door(source, chain.labels[0]) for source in chain.sources)
        entry_of.append(entries.setdefault(through, len(entries)))
    # "Nothing" is read from a place behind the last one, which decoders keep impossible.
    return PhoneGraph(
        tuple(chains),
        tuple(finals),
        hubs,
        phones,
        first.astype(np.intp),
        last.astype(np.intp),
        skips,
        Segments.of([*ends.values(), [len(phones)]]),
        Segments.of(doors.values()),
        np.array([hub for hub, _ in doors], np.intp),
        Segments.of(entries),
        np.array(entry_of, np.intp),
    )
