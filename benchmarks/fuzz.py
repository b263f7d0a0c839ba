"""Fuzzing of everything that reads what somebody else has written; prints a table.

    python -m benchmarks.fuzz [--minutes 10] [--only procedure,grammar] [--found FOLDER]

The minutes are shared between the targets of ``tests/fuzz/targets.py``. The search is guided by
coverage (Atheris on libFuzzer) and starts from real files. An input that ends in anything but the
project's own error, or takes longer than ten seconds, is kept in the folder. Once the fault is
fixed, move it to ``tests/fuzz/corpus/<target>/``: the tests read everything there.

Needs the optional extra ``fuzz``.
"""

from __future__ import annotations

import argparse
import os
import platform
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

NAMES = (
    "procedure", "grammar", "bench", "markdown", "csv", "seal", "entries", "picture", "form",
    "outside", "shown", "typed",
)  # fmt: skip
_SLOWEST_S = 10
_LONGEST = 20_000  # bytes of one input


def main() -> int:
    """Run every target in a process of its own."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--only", default=",".join(NAMES))
    parser.add_argument("--found", type=Path, default=Path("fuzz-found"))
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--child", nargs=2, metavar=("TARGET", "FOLDER"), help=argparse.SUPPRESS)
    given = parser.parse_args(sys.argv[1 : sys.argv.index("--") if "--" in sys.argv else None])
    if given.child:
        child(*given.child)
        return 0
    names = given.only.split(",")
    seconds = max(5, int(given.minutes * 60 / len(names)))
    print(f"{platform.platform()}, {os.cpu_count()} CPUs, load {os.getloadavg()[0]:.1f}")
    print(
        f"| {'target':10} | {'inputs':>9} | {'a second':>8} | {'edges':>6} | {'faults':>6} | time |"
    )
    faults = 0
    for name in names:
        faults += run(name, seconds, given.found / name, given.seed)
    return 1 if faults else 0


def run(name: str, seconds: int, found: Path, seed: int) -> int:
    """Search ``name`` for ``seconds``; each fault ends a run, and another goes on after it."""
    found.mkdir(parents=True, exist_ok=True)
    begin, tried, edges, faults = perf_counter(), 0, 0, 0
    with tempfile.TemporaryDirectory(prefix="kb2-fuzz-") as folder:
        while (left := seconds - (perf_counter() - begin)) > 3 and faults < 20:
            command = [
                sys.executable, "-m", "benchmarks.fuzz", "--child", name, folder, "--",
                f"-max_total_time={int(left)}", f"-timeout={_SLOWEST_S}", f"-seed={seed + faults}",
                f"-max_len={_LONGEST}", f"-artifact_prefix={found}/", "-print_final_stats=1",
                "-rss_limit_mb=2000",
            ]  # fmt: skip
            done = subprocess.run(command, capture_output=True, text=True, errors="replace")
            told = done.stdout + done.stderr
            tried += int(_last(r"number_of_executed_units: (\d+)", told))
            edges = max(edges, int(_last(r"cov: (\d+)", told)))
            if done.returncode == 0:
                break
            faults += 1
            (found / f"report-{faults}.txt").write_text(
                told[:3000] + "\n...\n" + told[-3000:], encoding="utf-8"
            )
    spent = perf_counter() - begin
    rate = tried / spent
    row = f"| {name:10} | {tried:9} | {rate:8.0f} | {edges:6} | {faults:6} | {spent:.0f} s |"
    print(row, flush=True)
    return faults


def _last(pattern: str, text: str) -> str:
    found = re.findall(pattern, text)
    return str(found[-1]) if found else "0"


def child(name: str, folder: str) -> None:
    """Search one target; libFuzzer ends the process."""
    import atheris

    with atheris.instrument_imports(include=["assistant"]):
        from tests.fuzz.targets import TARGETS, attempt

    target = TARGETS[name]
    for number, seed in enumerate(target.seeds()):
        (Path(folder) / f"seed{number}").write_bytes(seed)

    def once(data: bytes) -> None:
        attempt(target, data)

    own = sys.argv[sys.argv.index("--") + 1 :]
    atheris.Setup([sys.argv[0], *own, folder], once)
    atheris.Fuzz()


if __name__ == "__main__":
    sys.exit(main())
