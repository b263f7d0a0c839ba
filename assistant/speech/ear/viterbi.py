"""The likeliest path through a network of phones, frame by frame (Viterbi), all kept to look back.

One step does a dozen vector operations over all phones of the network at once: 40 to 60
microseconds for the readings of a micrometer.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from assistant.speech.ear.features import Matrix
from assistant.speech.ear.graph import PhoneGraph

NEVER = np.float32(-1e30)


@dataclass(frozen=True, eq=False)
class Trellis:
    """The best log probabilities up to each frame, in nats.

    ``posteriors``: what was decoded, (frames, 41). ``on``: in each phone, (frames, places).
    ``after``: in the blank after it, within a word. ``hubs``: in each hub, whether in the blank or
    at the end of a word. ``quiet``: the blank all along from the first frame.
    """

    graph: PhoneGraph
    posteriors: Matrix
    on: Matrix
    after: Matrix
    hubs: Matrix
    quiet: Matrix

    @property
    def frames(self) -> int:
        """How many there are."""
        return len(self.posteriors)

    @property
    def best(self) -> float:
        """Of the best whole phrase; very low where the sound is too short for any."""
        return float(self.hubs[-1, list(self.graph.finals)].max())


def trellis(graph: PhoneGraph, posteriors: Matrix) -> Trellis:
    """Decode ``posteriors``, log probabilities (frames, 41), at least one frame of them."""
    frames, places = len(posteriors), len(graph.phones)
    on = np.full((frames + 1, places + 1), NEVER, np.float32)  # row 0: before the first frame
    after = np.full((frames + 1, places + 1), NEVER, np.float32)
    hubs = np.empty((frames + 1, graph.hubs), np.float32)
    blank = np.full(graph.hubs, NEVER, np.float32)
    blank[0] = 0.0
    barred = np.where(graph.skips, 0.0, NEVER).astype(np.float32)[1:]
    step = np.empty(places, np.float32)
    emitted = posteriors[:, graph.phones]
    for frame in range(frames):
        was, quiet = on[frame], after[frame]
        open_doors = _doors(graph, was, blank)
        hubs[frame] = open_doors[: graph.hubs]
        entered = graph.entries.largest(open_doors)
        now = on[frame + 1, :-1]
        np.add(was[: places - 1], barred, out=step[1:])
        step[0] = NEVER
        np.maximum(was[:-1], step, out=now)
        np.maximum(now[1:], quiet[: places - 1], out=now[1:])
        now[graph.first] = np.maximum(now[graph.first], entered[graph.entry_of])
        now += emitted[frame]
        hush = after[frame + 1, :-1]
        np.maximum(was[:-1], quiet[:-1], out=hush)
        hush += posteriors[frame, 0]
        hush[graph.last] = NEVER
        blank = hubs[frame] + posteriors[frame, 0]
    hubs[frames] = _doors(graph, on[frames], blank)[: graph.hubs]
    return Trellis(
        graph, posteriors, on[1:, :-1], after[1:, :-1], hubs[1:], np.cumsum(posteriors[:, 0])
    )


def _doors(graph: PhoneGraph, on: Matrix, blank: Matrix) -> Matrix:
    """The best way to stand in every door: in the hub's blank, or at the end of a word."""
    ends = graph.doors.largest(graph.tails.largest(on))
    return np.maximum(ends, blank[graph.door_hub])
