"""The power fails at every moment of a writer's life, in several ways each; prints a table.

    python -m benchmarks.power_cut_bench [--appends 60] [--ways 6]

How the disks are made is said in ``tests/journal/power_cut.py``. Needs strace.
"""

from __future__ import annotations

import argparse
import os
import platform
import sys
import tempfile
from collections import Counter
from pathlib import Path
from random import Random
from time import perf_counter
from typing import Literal

from tests.journal.power_cut import Disk, check, record


def main() -> int:
    """Look at every disk; 1 when one of them has lost something."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--appends", type=int, default=40)
    parser.add_argument("--ways", type=int, default=6, help="disks at each moment, two or more")
    given = parser.parse_args()
    print(f"{platform.platform()}, {os.cpu_count()} CPUs, load {os.getloadavg()[0]:.1f}")
    chance, disk = Random(1), Disk()
    looked: Counter[str] = Counter()
    faults: list[str] = []
    begin = perf_counter()
    # The disks looked at lie in memory where there is room: only the writer's own flushes count.
    memory = "/dev/shm" if Path("/dev/shm").is_dir() else None
    with (
        tempfile.TemporaryDirectory(prefix="kb2-power-") as folder,
        tempfile.TemporaryDirectory(prefix="kb2-power-", dir=memory) as images,
    ):
        calls = record(Path(folder) / "writer", given.appends)
        rest: list[Literal["nothing", "all", "some"]] = ["some"]
        ways: list[Literal["nothing", "all", "some"]] = [
            "nothing",
            "all",
            *(rest * (given.ways - 2)),
        ]
        for number, call in enumerate(calls):
            disk.do(call)
            for how in ways:
                image = disk.image(how, chance)
                looked[how] += 1
                try:
                    check(image, disk.acknowledged, Path(images) / "image")
                except Exception as fault:
                    faults.append(f"call {number} ({call.name} {call.path}), {how}: {fault}")
    kinds = Counter(call.name for call in calls)
    rows = [
        ("utterances recorded", f"{given.appends}"),
        ("entries acknowledged", f"{disk.acknowledged}"),
        ("writes / flushes of the writer", f"{kinds['write']} / {kinds['sync']}"),
        ("moments at which the power failed", f"{len(calls)}"),
        ("disks: nothing unflushed left", f"{looked['nothing']}"),
        ("disks: everything left", f"{looked['all']}"),
        ("disks: some sectors and names left", f"{looked['some']}"),
        ("disks on which something was lost", f"{len(faults)}"),
        ("time", f"{perf_counter() - begin:.0f} s"),
    ]
    for name, value in rows:
        print(f"| {name:36} | {value:>10} |")
    for loss in faults[:20]:
        print(loss)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
