"""How long commands take and how much memory they need on one processor core; prints a table.

    python -m benchmarks.small_machine

Each command runs once, on core 0 alone, with no program of the system within reach (an empty PATH):
what a small machine without apt packages would run. Linux only.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

COMMANDS = (
    ("--help",),
    ("procedures",),
    ("procedures",),  # again: what was read is remembered
    ("check", "kb2_input_shaft"),
    ("doctor",),
    ("demo", "--keyboard"),
    ("demo",),
)


def main() -> None:
    """Print the table."""
    os.sched_setaffinity(0, {0})
    print("| command | ended | s | s of processor | peak memory MB |")
    print("|---|---|---|---|---|")
    with TemporaryDirectory() as home:
        for command in COMMANDS:
            print(_row(command, Path(home)), flush=True)


def _row(command: tuple[str, ...], home: Path) -> str:
    began = perf_counter()
    process = subprocess.Popen(
        (sys.executable, "-m", "assistant", *command),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        env={"HOME": str(home), "PATH": "/nonexistent"},
    )
    _, status, used = os.wait4(process.pid, 0)
    took = perf_counter() - began
    ended = os.waitstatus_to_exitcode(status)
    cpu = used.ru_utime + used.ru_stime
    memory = used.ru_maxrss / 1024
    return f"| {' '.join(command)} | {ended} | {took:.2f} | {cpu:.2f} | {memory:.0f} |"


if __name__ == "__main__":
    main()
