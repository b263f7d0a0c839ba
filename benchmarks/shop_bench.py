"""Many benches on one PostgreSQL server that stops three times; prints a table. For Debian.

    python -m benchmarks.shop_bench [--seconds 600] [--benches 16] [--every 2]

Each bench is a process with the rights of a bench. About every two seconds it keeps a sound and
appends what one utterance makes: three entries. The server stops in order, then crashes, then gets
kill -9. Afterwards every entry and sound that was acknowledged is looked for, and one session of
each bench is carried in a file to a store that has nothing else. Nothing is asserted but soundness.
"""

from __future__ import annotations

import argparse
import os
import platform
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from random import Random
from statistics import median, quantiles
from time import perf_counter, sleep

import numpy as np
import psycopg

from assistant.journal.buffered import BufferedJournal
from assistant.journal.clips import RATE, ClipStore
from assistant.journal.pictures import PictureStore
from assistant.journal.rights import set_rights
from assistant.journal.store import SqlJournal
from assistant.journal.types import Draft
from assistant.report.carried_file import write_carried
from assistant.report.carried_reading import read_carried
from assistant.report.copied import RecordPlace, whole_record
from tests.journal import drafts
from tests.journal.postgres import Cluster

_AWAY = 1 / 12  # of the whole time, that the server is away each time
_RETRY_S = 15.0  # as at a real bench


@dataclass(frozen=True)
class Work:
    """What one bench is to do."""

    url: str
    folder: Path
    session: str
    seconds: float
    every_s: float


@dataclass(frozen=True)
class Done:
    """What one bench was told is safe: ``acknowledged`` entries; how long each append took."""

    session: str
    acknowledged: int
    kept_here: int
    seconds: list[float]


def main() -> None:
    """Run the benches, stop the server, and look for everything."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=600)
    parser.add_argument("--benches", type=int, default=16)
    parser.add_argument("--every", type=float, default=2, help="seconds between utterances")
    given = parser.parse_args()
    print(
        f"{platform.platform()}, {os.cpu_count()} CPUs, load {os.getloadavg()[0]:.1f}", flush=True
    )
    with tempfile.TemporaryDirectory(prefix="kb2-shop-") as name:
        folder = Path(name)
        folder.chmod(0o755)
        (folder / "server").mkdir()
        cluster = Cluster(folder / "server")
        cluster.make()
        cluster.start()
        try:
            _measure(cluster, folder, given)
        finally:
            if cluster.running():
                cluster.stop()


def _measure(cluster: Cluster, folder: Path, given: argparse.Namespace) -> None:
    keeper = cluster.new_database()
    set_rights(keeper)
    work = [
        Work(
            keeper.replace("//bench@", f"//bench_{n}@"), folder / f"bench_{n}", f"kb2-{n}",
            given.seconds, given.every,
        )
        for n in range(given.benches)
    ]  # fmt: skip
    with psycopg.connect(keeper, autocommit=True) as connection:
        for n in range(given.benches):
            connection.execute(f"CREATE ROLE bench_{n} LOGIN IN ROLE assembly_bench")
    ways: list[Callable[[], None]] = [lambda: cluster.stop("fast"), cluster.stop, cluster.kill]
    with get_context("fork").Pool(given.benches) as pool:
        working = pool.map_async(_record, work, chunksize=1)
        for way in ways:
            working.wait(given.seconds / 6)
            way()
            working.wait(given.seconds * _AWAY)
            cluster.start()
        done = working.get()
    _print(
        given, done, [_lost(one, given_work) for one, given_work in zip(done, work, strict=True)]
    )


def _record(work: Work) -> Done:
    """One bench: a sound and three entries every so often, then what waits is sent."""
    rng = Random(work.session)
    clips = ClipStore(work.folder / "clips")
    journal = BufferedJournal(work.url, work.folder / "waiting.db", retry_s=_RETRY_S)
    known = journal.append(work.session, [drafts.opening()], 0)[-1].seq
    times = []
    here = 0
    until = perf_counter() + work.seconds
    while perf_counter() < until:
        sleep(rng.uniform(0.5, 1.5) * work.every_s)
        began = perf_counter()
        tone = np.random.default_rng(known).normal(0, 900, RATE).astype(np.int16)
        heard = Draft("event", drafts.AT, drafts.draft(known).body, clips.keep(tone), "test")
        more = [heard, drafts.draft(known), drafts.draft(known)]
        known = journal.append(work.session, more, known)[-1].seq
        times.append(perf_counter() - began)
        here += not journal.state().reachable
    last = perf_counter() + 120
    while not journal.flush() and perf_counter() < last:
        sleep(0.5)
    journal.close()
    return Done(work.session, known, here, times)


def _lost(done: Done, work: Work) -> list[str]:
    """What of one bench's session is not as it was acknowledged, on the server or in a file."""
    place = RecordPlace(
        ClipStore(work.folder / "clips"), PictureStore(work.folder / "pictures"),
        SqlJournal(work.url),
    )  # fmt: skip
    entries = whole_record(done.session, place, "is lost")
    lost = [] if len(entries) == done.acknowledged else [f"{len(entries)} of {done.acknowledged}"]
    sounds = {e.clip for e in entries if e.clip and len(e.clip) == 64}
    here = {path.stem for path in (work.folder / "clips").iterdir()}
    if sounds != here or len(sounds) != (done.acknowledged - 1) // 3:
        lost.append(f"{len(sounds)} sounds named, {len(here)} here")
    own = SqlJournal(work.folder / "waiting.db")
    if list(own.read(done.session)) != entries:
        lost.append("the copy at the bench differs")
    file, other = work.folder / "carried.zip", work.folder / "elsewhere"
    write_carried(done.session, place, file)
    there = RecordPlace(
        ClipStore(other / "clips"), PictureStore(other / "pictures"),
        SqlJournal(other / "records.db"),
    )  # fmt: skip
    read_carried(file, there)
    if {path.stem for path in (other / "clips").iterdir()} != here:
        lost.append("the file did not carry all sounds")
    for journal in (place.journal, own, there.journal):
        journal.close()
    return lost


def _print(given: argparse.Namespace, done: list[Done], lost: list[list[str]]) -> None:
    times = [1000 * t for one in done for t in one.seconds]
    rows = [
        ("benches, seconds, stops of the server", f"{given.benches}, {given.seconds:.0f}, 3"),
        ("utterances recorded, each with a sound", f"{len(times)}"),
        ("of these while the server was away", f"{sum(one.kept_here for one in done)}"),
        ("entries acknowledged", f"{sum(one.acknowledged for one in done)}"),
        ("sessions with anything lost, doubled or altered", f"{sum(map(bool, lost))}"),
        ("sound and entries durable: median", f"{median(times):.0f} ms"),
        ("99 of 100 under / longest", f"{quantiles(times, n=100)[-1]:.0f} / {max(times):.0f} ms"),
    ]
    print("| what | measured |")
    print("|---|---|")
    for name, value in rows:
        print(f"| {name} | {value} |")
    for one, faults in zip(done, lost, strict=True):
        for fault in faults:
            print(f"LOST in {one.session}: {fault}")


if __name__ == "__main__":
    main()
