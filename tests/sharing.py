"""Which tests share a worker, and in which order they start (``pytest -n``).

The tests of a file share what they have loaded, so they share a worker. A test that speaks and
listens in real time mostly waits: it goes alone, so that several wait at once, beside tests that
compute where both are run together. What takes longest starts first, so that all workers end at
about the same time.

xdist has marks for this (``--dist loadgroup``), but release 3.8 leaves them out of account with
pytest 9.2 (its issue 1386), without a word: each worker then sets up nearly everything.
"""

from __future__ import annotations

from contextlib import suppress
from functools import cache
from importlib import import_module
from itertools import chain, zip_longest
from pathlib import Path

import pytest
from xdist.scheduler import LoadScopeScheduling

TESTS = Path(__file__).parent
_LONGEST = {
    file: rank for rank, file in enumerate((TESTS / "longest_first.txt").read_text("utf-8").split())
}


class ByFile(LoadScopeScheduling):  # type: ignore[misc]  # xdist has no types
    """Sends the tests of a file to one worker, and those of real time one by one."""

    def _split_scope(self, nodeid: str) -> str:
        file = nodeid.partition("::")[0]
        return nodeid if _in_real_time(self.config.rootpath / file) else file


def is_left_out(path: Path, config: pytest.Config) -> bool:
    """Whether no test of a file can be wanted: ``-m real_time`` reads no file without the mark."""
    alone = config.option.markexpr == "real_time" and path.match("test_*.py")
    return alone and not _in_real_time(path)


@cache
def _in_real_time(file: Path) -> bool:
    """Whether the file's tests have the mark; here they are names only."""
    return "pytest.mark.real_time" in file.read_text("utf-8")


def in_order(items: list[pytest.Item]) -> list[pytest.Item]:
    """The longest first, and tests that wait in turn with files that compute."""
    files: dict[Path, list[pytest.Item]] = {}
    for item in items:
        files.setdefault(item.path, []).append(item)
    ranked = sorted(files, key=_rank)
    waiting = [[item] for path in ranked if _in_real_time(path) for item in files[path]]
    others = [files[path] for path in ranked if not _in_real_time(path)]
    return list(
        chain.from_iterable(chain.from_iterable(zip_longest(waiting, others, fillvalue=[])))
    )


def _rank(path: Path) -> int:
    return _LONGEST.get(path.relative_to(TESTS).as_posix(), len(_LONGEST))


def read_own_share(config: pytest.Config) -> None:
    """Import some test files before all are collected.

    Every worker needs every file, and pytest compiles each to explain its assertions. In a fresh
    copy that takes longer than all the rest of collecting, unless each worker compiles its share.
    """
    worker = getattr(config, "workerinput", None)
    if worker is None:
        return
    own, workers = int(worker["workerid"].removeprefix("gw")), worker["workercount"]
    folders = [Path(given.partition("::")[0]) for given in config.args]
    files = [file for folder in folders for file in sorted(folder.rglob("test_*.py"))]
    wanted = [file for file in files if not is_left_out(file, config)]
    for file in wanted[own::workers]:
        module = file.resolve().relative_to(config.rootpath).with_suffix("")
        with suppress(Exception, pytest.skip.Exception):  # collecting tells what is wrong with it
            import_module(".".join(module.parts))
