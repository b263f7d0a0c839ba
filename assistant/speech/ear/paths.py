"""The likeliest different phrases of a trellis, best first.

The search goes backwards from the end, word by word, always at the most promising end of a phrase
so far: A*, after Soong and Huang, *A tree-trellis based fast search for finding the N best
sentence hypotheses*, 1991. What the trellis holds for a hub at a frame is exactly the best that any
beginning can add. Each ending is followed from a hub once, by its best times. So the scores are
those of good paths, not always of the best: they choose what to compare (``likelihood.py``).
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import count

import numpy as np

from assistant.speech.ear.features import Matrix
from assistant.speech.ear.viterbi import NEVER, Trellis

_MOST_STEPS = 4000  # of the search; a phrase takes one for each word and hub
_ROUNDING = 1e-3  # nats; single precision keeps sums of a hundred to 1e-5


@dataclass(frozen=True)
class PlacedWord:
    """A word of a path: its ``phones`` in frames ``first`` to ``last``, and its nats there."""

    word: str
    first: int
    last: int
    nats: float
    phones: int


@dataclass(frozen=True)
class Path:
    """A whole phrase, its words in time, and its log probability in nats along these times."""

    words: tuple[PlacedWord, ...]
    nats: float

    @property
    def text(self) -> tuple[str, ...]:
        """The words alone."""
        return tuple(placed.word for placed in self.words)


@dataclass(frozen=True)
class _End:
    """The words from ``words`` on; what comes before stands in ``hub`` after frame ``frame``.

    ``barred``: the label that the ending begins with. ``nats``: what it adds.
    """

    hub: int
    frame: int
    barred: int
    nats: float
    words: tuple[PlacedWord, ...]


@dataclass(frozen=True)
class _Word:
    """``chain`` before ``end``, not yet traced back in time."""

    chain: int
    end: _End


def best_phrases(trellis: Trellis, most: int, within: float) -> list[Path]:
    """At most ``most`` different phrases, none more than ``within`` nats behind the best."""
    found: dict[tuple[str, ...], Path] = {}
    for path in _phrases(trellis, trellis.graph.finals, within):
        found.setdefault(path.text, path)
        if len(found) >= most:
            break
    return list(found.values())


def best_beginning(trellis: Trellis) -> tuple[str, ...]:
    """The words of the best path, whether they are a whole phrase or the beginning of one."""
    everywhere = range(trellis.graph.hubs)
    return next((path.text for path in _phrases(trellis, everywhere, 0.1)), ())


def _phrases(trellis: Trellis, ends: Iterable[int], within: float) -> Iterator[Path]:
    graph = trellis.graph
    ends = list(ends)
    if not trellis.frames:
        return
    best = float(trellis.hubs[-1, ends].max())
    least = best - within
    if best <= NEVER / 2:
        return
    reach = _reach(trellis)
    order = count()
    heap: list[tuple[float, int, _End | _Word | Path]] = []
    seen: set[tuple[int, tuple[str, ...]]] = set()

    def push(nats: float, what: _End | _Word | Path) -> None:
        if nats >= least:
            heapq.heappush(heap, (-nats, next(order), what))

    for hub in ends:
        push(float(trellis.hubs[-1, hub]), _End(hub, trellis.frames - 1, 0, 0.0, ()))
    for _ in range(_MOST_STEPS):
        if not heap:
            return
        behind, _, what = heapq.heappop(heap)
        match what:
            case Path():
                yield what
            case _Word():
                for nats, end in _traced(trellis, what, -behind):
                    push(nats, end)
            case _End():
                key = (what.hub, tuple(placed.word for placed in what.words))
                if key in seen:
                    continue
                seen.add(key)
                if what.hub == 0 and what.words:
                    nats = what.nats + _quiet(trellis, what.frame)
                    push(nats, Path(what.words, nats))
                if what.frame >= 0:
                    into = graph.into[what.hub]
                    ahead = _ahead(trellis, reach, what, into)
                    for chain in np.flatnonzero(ahead >= least):
                        push(float(ahead[chain]), _Word(int(into[chain]), what))


def _reach(trellis: Trellis) -> Matrix:
    """The best end of each chain up to each frame, the blanks up to it taken off."""
    ends = trellis.on[:, trellis.graph.last] - trellis.quiet[:, None]
    return np.maximum.accumulate(ends, axis=0)


def _ahead(trellis: Trellis, reach: Matrix, end: _End, into: np.ndarray) -> Matrix:
    """The best whole phrases that go on through each chain of ``into`` with ``end``."""
    graph = trellis.graph
    latest = reach[end.frame, into]
    if end.words:
        must_rest = graph.phones[graph.last[into]] == end.barred
        before = reach[end.frame - 1, into] if end.frame else np.full(len(into), NEVER, np.float32)
        latest = np.where(must_rest, before, latest)
    return np.asarray(latest + trellis.quiet[end.frame] + np.float32(end.nats), np.float32)


def _traced(trellis: Trellis, what: _Word, nats: float) -> Iterator[tuple[float, _End]]:
    """The endings that begin with the word, one for each hub that it may come from."""
    graph, end = trellis.graph, what.end
    chain = graph.chains[what.chain]
    last = int(graph.last[what.chain])
    until = end.frame + 1
    if end.words and chain.labels[-1] == end.barred:
        until -= 1
    final = int(np.argmax(trellis.on[:until, last] - trellis.quiet[:until]))
    begun = _begun(trellis, what.chain, final)
    first = int(graph.first[what.chain])
    entered = float(trellis.on[begun, first] - trellis.posteriors[begun, chain.labels[0]])
    own = float(trellis.on[final, last]) - entered
    words = (PlacedWord(chain.word, begun, final, own, len(chain.labels)), *end.words)
    for hub in chain.sources:
        before = float(trellis.hubs[begun - 1, hub]) if begun else (0.0 if hub == 0 else -1e30)
        yield (
            nats - entered + before,
            _End(hub, begun - 1, chain.labels[0], nats - entered, words),
        )


def _begun(trellis: Trellis, chain: int, final: int) -> int:
    """The frame in which the best way to end ``chain`` in frame ``final`` began it."""
    graph, on, after = trellis.graph, trellis.on, trellis.after
    first, at = int(graph.first[chain]), int(graph.last[chain])
    blank = False
    frame = final
    while frame > 0:
        if blank:
            # The blank goes on, or the phone before it does.
            blank = after[frame - 1, at] >= on[frame - 1, at]
        else:
            stay = on[frame - 1, at]
            if at == first:
                here = on[frame, at] - trellis.posteriors[frame, graph.phones[at]]
                if here > stay + _ROUNDING:
                    return frame
            else:
                rest = after[frame - 1, at - 1]
                step = on[frame - 1, at - 1] if graph.skips[at] else NEVER
                if max(rest, step) > stay:
                    at -= 1
                    blank = bool(rest > step)
        frame -= 1
    return frame


def _quiet(trellis: Trellis, frame: int) -> float:
    """Nothing but the blank up to ``frame``."""
    return float(trellis.quiet[frame]) if frame >= 0 else 0.0
