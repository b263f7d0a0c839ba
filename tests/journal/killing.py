"""Kills a writing process at chosen moments and looks at what is left."""

from __future__ import annotations

import os
import signal
from random import Random
from select import select

from assistant.journal.store import SqlJournal
from tests.journal.drafts import SESSION
from tests.journal.writer import write_for_ever


def kill_points(place: str, points: int, seed: int) -> tuple[int, int]:
    """Start and kill a writer ``points`` times; returns entries kept and entries acknowledged.

    Each writer is killed a random 0 to 8 ms after its start or one of its first few
    acknowledgements, so that the kill falls anywhere in opening and appending.

    Raises:
        AssertionError: an acknowledged entry is lost, an append is half there, or the record
            does not verify.
    """
    chance = Random(seed)
    acknowledged = 0
    kept = 0
    for _ in range(points):
        acknowledged = max(acknowledged, _write_and_kill(place, chance))
        journal = SqlJournal(place)
        kept = journal.entries_of(SESSION)
        bad = journal.verify(SESSION) if kept else None
        journal.close()
        assert bad is None, bad
        assert kept >= acknowledged, f"{acknowledged} were acknowledged, {kept} are there"
        assert kept - acknowledged <= 3, "at most the append that was not acknowledged yet"
        assert kept == 0 or (kept - 1) % 3 == 0, "appends are whole"
    return kept, acknowledged


def _write_and_kill(place: str, chance: Random) -> int:
    """One writer's life; returns the last entry that it acknowledged.

    The writer is a fork, so that its life is spent writing and not importing.
    """
    reading, writing = os.pipe()
    writer = os.fork()
    if writer == 0:
        os.close(reading)
        try:
            write_for_ever(place, writing)
        finally:
            os._exit(1)  # only reached when the journal fails: the parent sees too few lines
    os.close(writing)
    with os.fdopen(reading, "rb") as said:
        first = [said.readline() for _ in range(chance.randint(0, 6))]
        # Ends early when the writer acknowledges more: no harm, the moment is random.
        select([], [], [], chance.uniform(0, 0.008))
        os.kill(writer, signal.SIGKILL)
        lines = [*first, *said.read().splitlines()]
    os.waitpid(writer, 0)
    assert all(first), "the writer ended by itself"
    return max((int(line) for line in lines if line.strip()), default=0)
