"""Kills a writing process at chosen moments and looks at what is left."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path
from random import Random
from select import select

from assistant.journal.store import SqlJournal
from tests.journal.drafts import SESSION

ROOT = Path(__file__).parents[2]


def kill_points(place: str, points: int, seed: int) -> tuple[int, int]:
    """Start and kill a writer ``points`` times; returns entries kept and entries acknowledged.

    Each writer is killed a random 0 to 8 ms after one of its first few acknowledgements, so
    that the kill falls anywhere in an append.

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
        bad = journal.verify(SESSION)
        journal.close()
        assert bad is None, bad
        assert kept >= acknowledged, f"{acknowledged} were acknowledged, {kept} are there"
        assert kept - acknowledged <= 3, "at most the append that was not acknowledged yet"
        assert (kept - 1) % 3 == 0, "appends are whole"
    return kept, acknowledged


def _write_and_kill(place: str, chance: Random) -> int:
    writer = subprocess.Popen(
        [sys.executable, "-m", "tests.journal.writer", place], stdout=subprocess.PIPE, cwd=ROOT
    )
    assert writer.stdout is not None
    for _ in range(chance.randint(1, 6)):
        line = writer.stdout.readline()
        assert line, "the writer ended by itself"
    # A wait that ends early when the writer acknowledges more: no harm, the moment is random.
    select([], [], [], chance.uniform(0, 0.008))
    writer.send_signal(signal.SIGKILL)
    rest = writer.stdout.read().splitlines()
    writer.wait()
    whole = [int(text) for text in [line.strip(), *rest] if text.strip()]
    return max(whole)
