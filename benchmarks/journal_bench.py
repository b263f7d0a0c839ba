"""Speed and memory of the journal, and long runs of kill -9; prints tables.

    python -m benchmarks.journal_bench [--events 100000] [--kills 1000] [--url postgresql://...]
    python -m benchmarks.journal_bench --shop 60      (8 benches on one PostgreSQL server that is
                                                       killed (-9) twice meanwhile)

Each row says what was measured on this machine, now. Nothing is asserted but soundness.
"""

from __future__ import annotations

import argparse
import os
import platform
import resource
import tempfile
from itertools import pairwise
from multiprocessing import get_context
from pathlib import Path
from statistics import median, quantiles
from time import perf_counter

from assistant.journal.buffered import BufferedJournal
from assistant.journal.store import SqlJournal
from assistant.journal.types import Draft
from assistant.report.export import to_csv, to_json
from assistant.report.html import to_html
from assistant.report.record import build_record
from benchmarks.timing import Timed
from tests.journal import drafts
from tests.journal.drafts import SESSION
from tests.journal.killing import kill_points
from tests.journal.postgres import Cluster
from tests.report.sample import sample


def main() -> None:
    """Run what was asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--events", type=int, default=100_000, help="entries in the long session")
    parser.add_argument("--kills", type=int, default=0, help="kill -9 points, on top")
    parser.add_argument("--url", help="a database instead of a SQLite file; must be empty")
    parser.add_argument("--shop", type=float, default=0.0, help="seconds of 8 benches at work")
    given = parser.parse_args()
    print(f"{platform.platform()}, {os.cpu_count()} CPUs, load {os.getloadavg()[0]:.1f}")
    with tempfile.TemporaryDirectory(prefix="kb2-bench-") as folder:
        if given.shop:
            shop(Path(folder), given.shop)
            return
        place = given.url or str(Path(folder) / "records.db")
        speed(place, given.events)
        if given.kills:
            kills(str(Path(folder) / "killed.db"), given.kills)


def speed(place: str, events: int) -> None:
    """Append, read, verify and report a session of ``events`` entries."""
    journal = SqlJournal(place)
    pattern = sample()
    opening = pattern[0]
    # An utterance as a session stores it: the event, a fact or two, what was said.
    turns = [
        [_draft(e), *([_draft(f)] if f.kind == "fact" else [])]
        for e, f in pairwise(pattern[1:])
        if e.kind == "event"
    ]
    said = Draft("said", opening.at, {"text": "Two thousandths, in limits.", "tone": "plain"})
    known = journal.append(SESSION, [_draft(opening)], 0)[-1].seq
    times: list[float] = []
    turn = 0
    while known < events:
        batch = [*turns[turn % len(turns)], said]
        turn += 1
        begin = perf_counter()
        known = journal.append(SESSION, batch, known)[-1].seq
        times.append((perf_counter() - begin) * 1000)
    centiles = quantiles(times, n=100)
    rows = [
        ("entries in the session", f"{known}"),
        ("appends (one utterance each)", f"{len(times)}"),
        ("append, median", f"{median(times):.2f} ms"),
        ("append, 99 of 100 under", f"{centiles[98]:.2f} ms"),
        ("append, longest", f"{max(times):.1f} ms"),
        ("append, median of the last 1000", f"{median(times[-1000:]):.2f} ms"),
    ]
    journal.close()
    since = Timed()
    journal = SqlJournal(place)
    count = sum(1 for _ in journal.read(SESSION))
    rows.append(("open and read all", f"{since}"))
    assert count == known
    before = _peak_mb()
    since = Timed()
    assert journal.verify(SESSION) is None
    rows.append(("verify", f"{since}"))
    since = Timed()
    record = build_record(journal.read(SESSION))
    rows.append(("build the record", f"{since}"))
    for name, write in (("CSV", to_csv), ("JSON", to_json), ("HTML", to_html)):
        since = Timed()
        size = len(write(record)) / 1e6
        rows.append((f"write {name}", f"{since} ({size:.1f} MB)"))
    rows.append(("readings in the record", f"{len(record.readings)}"))
    rows.append(("peak memory before / after report", f"{before:.0f} / {_peak_mb():.0f} MB"))
    if "://" not in place:
        rows.append(("file", f"{Path(place).stat().st_size / 1e6:.1f} MB"))
    for name, value in rows:
        print(f"| {name:40} | {value:>20} |")


def kills(place: str, points: int) -> None:
    """Kill a writer ``points`` times; any loss ends the run with its message."""
    begin = perf_counter()
    kept, acknowledged = kill_points(place, points, seed=1)
    print(
        f"| {'kill -9 points':34} | {points:>20} |\n"
        f"| {'entries acknowledged / kept':34} | {f'{acknowledged} / {kept}':>20} |\n"
        f"| {'acknowledged entries lost':34} | {max(0, acknowledged - kept):>20} |\n"
        f"| {'time':34} | {f'{perf_counter() - begin:.0f} s':>20} |"
    )


def shop(folder: Path, seconds: float, benches: int = 8) -> None:
    """Benches record at once while the server is killed twice; then every entry is looked for."""
    folder.chmod(0o755)
    (folder / "server").mkdir()
    cluster = Cluster(folder / "server")
    cluster.make()
    cluster.start()
    url = cluster.new_database()
    SqlJournal(url).close()
    context = get_context("spawn")
    with context.Pool(benches) as pool:
        jobs = [(url, str(folder / f"spool{n}.db"), f"bench{n}", seconds) for n in range(benches)]
        working = pool.starmap_async(_work, jobs)
        for _ in range(2):
            working.wait(seconds / 4)
            cluster.kill()
            working.wait(seconds / 12)
            cluster.start()
        acknowledged = dict(working.get())
    journal = SqlJournal(url)
    kept = {row.session: row.entries for row in journal.sessions()}
    bad = [journal.verify(session) for session in kept]
    doubled = 0
    for session in kept:
        numbers = [entry.body.get("number") for entry in journal.read(session)]
        doubled += len(numbers) - len(set(numbers))
    journal.close()
    cluster.stop()
    rows = [
        ("benches, seconds, kill -9 of the server", f"{benches}, {seconds:.0f}, 2"),
        ("entries acknowledged", f"{sum(acknowledged.values())}"),
        ("entries on the server", f"{sum(kept.values())}"),
        ("sessions that differ", f"{sum(kept.get(s) != n for s, n in acknowledged.items())}"),
        ("entries doubled", f"{doubled}"),
        ("records that do not verify", f"{sum(b is not None for b in bad)}"),
    ]
    for name, value in rows:
        print(f"| {name:40} | {value:>20} |")


def _work(url: str, spool: str, session: str, seconds: float) -> tuple[str, int]:
    """Record for ``seconds``, then send what waits; returns how much was acknowledged."""
    journal = BufferedJournal(url, spool, retry_s=1.0)
    until = perf_counter() + seconds
    known = journal.append(session, [drafts.opening()], 0)[-1].seq
    while perf_counter() < until:
        known = journal.append(session, [drafts.draft(known)], known)[-1].seq
    while not journal.flush():
        if perf_counter() > until + 60:
            break
    journal.close()
    return session, known


def _draft(entry: Draft) -> Draft:
    return Draft(entry.kind, entry.at, entry.body, entry.clip, entry.engine)


def _peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    main()
