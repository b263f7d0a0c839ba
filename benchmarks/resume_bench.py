"""How long it takes to take a long session up again; prints a table.

    python -m benchmarks.resume_bench [--events 100000] [--keep FILE]

The session is a real one: the demonstration's builder reads, corrects, asks and measures again
until the wanted number of events (utterances, each with its facts and sentences) is stored. Only
the writing is done in large transactions, to be quick about it. Nothing is asserted but soundness.
"""

from __future__ import annotations

import argparse
import os
import platform
import resource
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from assistant.dialogue.context import Context
from assistant.dialogue.events import Heard
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.journal.store import SqlJournal
from assistant.journal.types import Draft, Entry, SessionRow
from assistant.language.hypothesis import typed
from assistant.report.html import to_html
from assistant.report.record import build_record
from assistant.session.clock import DemoClock
from assistant.session.session import Session, rebuild
from assistant.session.snapshots import SnapshotFolder, StateSnapshot
from assistant.session.stand_in import next_line
from assistant.session.surroundings import SessionEdges, SessionStore
from benchmarks.timing import Timed
from tests.session.kit import SHAFT, START, Edges, demo_context, opened

NAME = "long"
TAIL = 1000  # entries after the last snapshot: as many as there can be
ROUND = (
    "reading 11 thou", "reading 11.5 thou", "reading 12 thou", "correction", "reading 11.9 thou",
    "what limit", "reading 11.5 thou", "measure again", "where am i", "reading 10 thou",
)  # fmt: skip


class Bulk:
    """A journal that passes on what it is given in transactions of many utterances."""

    def __init__(self, journal: SqlJournal, size: int = 5000) -> None:
        self._journal, self._size = journal, size
        self._waiting: list[Draft] = []
        self._sent = 0

    def append(self, session: str, drafts: Sequence[Draft], expect_seq: int) -> list[Entry]:
        self._waiting += drafts
        if len(self._waiting) >= self._size:
            self.flush()
        return [
            Entry(d.kind, d.at, d.body, d.clip, d.engine, session, expect_seq + n)
            for n, d in enumerate(drafts, 1)
        ]

    def flush(self) -> None:
        self._journal.append(NAME, self._waiting, self._sent)
        self._sent += len(self._waiting)
        self._waiting = []

    def read(self, session: str, after: int = 0) -> Iterator[Entry]:
        return self._journal.read(session, after)

    def sessions(self) -> list[SessionRow]:
        return self._journal.sessions()


class Deaf(Edges):
    """Edges that keep nothing, so that only the session's own memory is measured."""

    def say(self, said: object) -> None: ...
    def chime(self, which: object) -> None: ...
    def recorded(self, fact: object) -> None: ...


def main() -> None:
    """Make the session and measure."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--events", type=int, default=100_000)
    parser.add_argument("--keep", type=Path, help="use this store; made when it is not there")
    given = parser.parse_args()
    print(f"{platform.platform()}, {os.cpu_count()} CPUs, load {os.getloadavg()[0]:.1f}")
    with tempfile.TemporaryDirectory(prefix="kb2-resume-") as folder:
        place = given.keep or Path(folder) / "records.db"
        context = demo_context()
        if not place.exists():
            make(place, context, given.events)
        measure(place, Path(folder) / "snapshots", context)


def make(place: Path, context: Context, events: int) -> None:
    """A session of ``events`` events in the store at ``place``."""
    bulk, edges = Bulk(SqlJournal(place)), Deaf()
    session = Session(
        NAME, context, store=SessionStore(bulk), edges=SessionEdges(edges, edges, DemoClock(START))
    )
    session.open(opened(session))
    stored = 1
    while stored < events:
        if session.state.step == "cap_gap" and isinstance(session.state.awaiting, Measuring):
            break
        line = next_line(context, session.state, SHAFT)
        if line is None:
            session._ring_timer()
        else:
            session.feed(Heard(at=session._now(), recognition=typed(line)))
        stored += 1
    while stored < events:
        line = ROUND[stored % len(ROUND)]
        session.feed(Heard(at=session._now(), recognition=typed(line)))
        stored += 1
    bulk.flush()


def measure(place: Path, folder: Path, context: Context) -> None:
    """Resume with and without a snapshot, read, report."""
    rows: list[tuple[str, str]] = []
    journal = SqlJournal(place)
    begin = Timed()
    kinds = [entry.kind for entry in journal.read(NAME)]
    rows.append(("events / entries", f"{kinds.count('event')} / {len(kinds)}"))
    rows.append(("read all entries", f"{begin}"))
    snapshots = SnapshotFolder(folder)
    early = make_snapshot(context, journal, len(kinds) - TAIL)
    snapshots.save(NAME, context, early)
    before = _peak_mb()
    begin = Timed()
    quick = rebuild(context, journal, NAME, snapshots)
    rows.append((f"resume from a snapshot {TAIL} entries old", f"{begin}"))
    begin = Timed()
    again = rebuild(demo_context(), SqlJournal(place), NAME, snapshots)
    rows.append(("the same, procedure and store opened again", f"{begin}"))
    begin = Timed()
    whole = rebuild(context, journal, NAME)
    rows.append(("resume by replay of everything", f"{begin}"))
    rows.append(("the three states are equal", "yes" if quick == again == whole else "NO"))
    rows.append(("snapshot file", f"{next(folder.iterdir()).stat().st_size / 1000:.1f} kB"))
    begin = Timed()
    record = build_record(journal.read(NAME))
    rows.append(("build the record", f"{begin}"))
    begin = Timed()
    page = to_html(record)
    rows.append(("write HTML", f"{begin} ({len(page) / 1e6:.1f} MB)"))
    rows.append(("readings in the record", f"{len(record.readings)}"))
    rows.append(("peak memory before / after", f"{before:.0f} / {_peak_mb():.0f} MB"))
    for name, value in rows:
        print(f"| {name:42} | {value:>20} |")


def make_snapshot(context: Context, journal: SqlJournal, seq: int) -> StateSnapshot:
    """The snapshot at the last event that ends at or before entry ``seq``."""
    entries = list(journal.read(NAME, max(0, seq - 50)))
    at = next(n for n, e in enumerate(entries) if e.kind == "event" and e.seq > seq)
    last = entries[at - 1]

    class Cut:
        def read(self, session: str, after: int = 0) -> Iterator[Entry]:
            return (e for e in journal.read(session, after) if e.seq <= last.seq)

    state, _ = rebuild(context, Cut(), NAME)
    return StateSnapshot(last.seq, last.hash, state)


def _peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    main()
