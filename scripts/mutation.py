"""Small faults put into a room, one at a time: do its tests notice? Prints a table.

    python -m scripts.mutation quantities [--sample 300] [--seed 1] [--keep FOLDER]

The faults are made by mutmut (extra ``mutation``), in a copy of the tree. Without ``--sample`` all
of them are tried; with it as many, chosen by the seed, and the share that was killed is given with
its 95 % interval (Wilson). ``--keep`` uses this folder again: what was tried and has not changed
is not tried again. Of those that no test notices, the ones that mypy names count as killed too:
they cannot land. Survivors are listed with their differences in ``FOLDER/survivors.diff``.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
import tomllib
from bisect import bisect_right
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from pathlib import Path

from assistant.evaluation.statistics import Rate

ROOT = Path(__file__).parent.parent
ROOMS = tomllib.loads((ROOT / "scripts" / "mutation.toml").read_text(encoding="utf-8"))
KILLED = {1, 3}  # pytest's exit codes for a failed test
SLOW = {-24, 24, 36, 152, 255}  # ran out of time: counts as killed, since a test would hang
NO_TESTS = {5, 33}
_TYPES = 37  # mutmut's code for what the type checker names
_ALIVE = {0, *NO_TESTS}


def main() -> int:
    """Try the faults of a room."""
    options = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    options.add_argument("room", choices=sorted(ROOMS))
    options.add_argument("--sample", type=int, default=0)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--keep", type=Path, default=None)
    options.add_argument("--children", type=int, default=1)
    given = options.parse_args()
    if given.keep is not None:
        given.keep.mkdir(parents=True, exist_ok=True)
        return _try(given.room, given.sample, given.seed, given.keep.resolve(), given.children)
    with tempfile.TemporaryDirectory() as folder:
        return _try(given.room, given.sample, given.seed, Path(folder), given.children)


def _try(room: str, sample: int, seed: int, folder: Path, children: int) -> int:
    _copy(room, folder)
    # mutmut makes the mutants and looks which tests reach them before it finds no such name
    _mutmut(folder, children, ["none such"])
    names = sorted(_results(folder))
    if not names:
        print("No mutants were made; run mutmut in the folder by hand to see why.")
        return 1
    chosen = random.Random(seed).sample(names, min(sample, len(names))) if sample else names
    tried = _results(folder)
    todo = [n for n in chosen if tried[n] is None]
    if todo:
        _mutmut(folder, children, todo)
    results = {n: code for n, code in _results(folder).items() if n in set(chosen)}
    results |= {n: _TYPES for n in _named_by_types(folder, room) if results.get(n) in _ALIVE}
    _table(room, results, len(names))
    _survivors(folder, results, children)
    return 0


def _copy(room: str, folder: Path) -> None:
    """The tree as it is, uncommitted changes and all, with the room's settings."""
    listed = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    for name in listed.stdout.splitlines():
        source, target = ROOT / name, folder / name
        if not source.is_file() or name.startswith("shared/"):
            continue
        if target.exists() and target.stat().st_mtime_ns == source.stat().st_mtime_ns:
            continue
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(source, target)
    settings = ROOMS[room]
    lines = [
        "\n[tool.mutmut]",
        'source_paths = ["assistant"]',
        f"only_mutate = {json.dumps(settings['mutate'])}",
        f"do_not_mutate = {json.dumps(settings.get('leave', []))}",
        f"pytest_add_cli_args_test_selection = {json.dumps(settings['tests'])}",
        f"pytest_add_cli_args = {json.dumps([*_QUICKLY, *settings.get('options', [])])}",
        f"also_copy = {json.dumps(_TOO)}",
        "use_git_change_detection = false",
    ]
    plain = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    (folder / "pyproject.toml").write_text(plain + "\n".join(lines) + "\n", encoding="utf-8")


_QUICKLY = ["-p", "no:cacheprovider", "-m", "not audio and not slow"]
_TOO = ["grammars", "procedures", "audio_fixtures", "docs", "benchmarks", "scripts", "README.md",
        "DEVELOPERS.md"]  # fmt: skip


def _mutmut(folder: Path, children: int, names: list[str]) -> None:
    with (folder / "mutmut.log").open("w", encoding="utf-8") as log:
        subprocess.run(
            [sys.executable, "-m", "mutmut", "run", "--max-children", str(children), *names],
            cwd=folder, stdout=log, stderr=log, check=False,
            env={**os.environ, "PYTHONPATH": ""},
        )  # fmt: skip


def _results(folder: Path) -> dict[str, int | None]:
    found: dict[str, int | None] = {}
    for path in (folder / "mutants" / "assistant").rglob("*.meta"):
        found |= json.loads(path.read_text(encoding="utf-8"))["exit_code_by_key"]
    return found


def _named_by_types(folder: Path, room: str) -> set[str]:
    """The mutants in which mypy, asked as CI asks it, finds an error."""
    tree, settings = folder / "mutants", folder / "types.ini"
    plain = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["mypy"]
    foreign = ",".join((*plain["overrides"][0]["module"], "mutmut.*"))
    settings.write_text(
        f"[mypy]\nstrict = true\n[mypy-{foreign}]\nignore_missing_imports = true\n",
        encoding="utf-8",
    )
    parts = sorted({path.removesuffix("/*") for path in ROOMS[room]["mutate"]})
    told = subprocess.run(
        [sys.executable, "-m", "mypy", "--config-file", str(settings), "--output", "json",
         "--cache-dir", str(folder / "types"), *parts],
        cwd=tree, capture_output=True, text=True, check=False,
    ).stdout  # fmt: skip
    found: dict[str, set[str]] = {}  # function -> what is wrong in it
    for error in map(json.loads, told.splitlines()):
        path = tree / f"{error['file']}.spans"
        if error["severity"] == "error" and path.exists():
            module = error["file"].removesuffix(".py").removesuffix("/__init__").replace("/", ".")
            function = _function_at(path, error["line"])
            found.setdefault(f"{module}.{function}", set()).add(error["message"])
    # what is wrong in a function as it was is the fault of its being copied
    return {
        name
        for name, messages in found.items()
        if messages - found.get(f"{name.rpartition('__mutmut_')[0]}__mutmut_orig", set())
    }


@cache
def _spans(path: Path) -> list[tuple[int, int, str]]:
    spans = json.loads(path.read_text(encoding="utf-8"))["spans"]
    return sorted((first, last, name) for name, (first, last) in spans.items())


def _function_at(path: Path, line: int) -> str:
    """The copy of a function that ``line`` of a mutated file belongs to; empty outside of all."""
    spans = _spans(path)
    at = bisect_right(spans, line, key=lambda span: span[0]) - 1
    return spans[at][2] if at >= 0 and line <= spans[at][1] else ""


def _table(room: str, results: dict[str, int | None], made: int) -> None:
    counts: dict[str, Counter[str]] = {}
    for name, code in results.items():
        module = name.split(".x")[0].removeprefix("assistant.")
        counts.setdefault(module, Counter())[_verdict(code)] += 1
    total: Counter[str] = Counter()
    print(f"{'module':40} {'tried':>6} {'killed':>7} {'survived':>9} {'no test':>8}")
    for module, count in sorted(counts.items()):
        total.update(count)
        print(_row(module, count))
    print(_row(room, total))
    tried, killed = sum(total.values()), _killed(total)
    print(f"\n{made} mutants made, {tried} tried; killed {Rate(killed, tried)} %")
    print(f"of these mypy names {total['types']}, and {total['slow']} ran out of time")


def _verdict(code: int | None) -> str:
    if code == _TYPES:
        return "types"
    if code in KILLED:
        return "killed"
    if code in SLOW:
        return "slow"
    if code in NO_TESTS:
        return "no tests"
    return "survived" if code == 0 else f"unclear {code}"


def _row(name: str, count: Counter[str]) -> str:
    tried = sum(count.values())
    return f"{name:40} {tried:6} {_killed(count):7} {count['survived']:9} {count['no tests']:8}"


def _killed(count: Counter[str]) -> int:
    return count["killed"] + count["types"] + count["slow"]


def _survivors(folder: Path, results: dict[str, int | None], children: int) -> None:
    """The differences of those that no test noticed, for somebody to read."""
    alive = sorted(
        n for n, code in results.items() if _verdict(code) not in ("killed", "types", "slow")
    )

    def shown(name: str) -> str:
        return subprocess.run(
            [sys.executable, "-m", "mutmut", "show", name],
            cwd=folder, capture_output=True, text=True, check=False,
        ).stdout  # fmt: skip

    with ThreadPoolExecutor(children) as pool:
        differences = list(pool.map(shown, alive))
    (folder / "survivors.diff").write_text("\n".join(differences), encoding="utf-8")
    print(f"survivors: {len(alive)}, in {folder / 'survivors.diff'}")


if __name__ == "__main__":
    sys.exit(main())
