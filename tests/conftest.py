"""Settings common to all tests, and the order and company in which they run."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, zip_longest
from pathlib import Path

import pytest
from coverage import Coverage
from hypothesis import settings

# No timing assertions: a loaded machine must not turn a property test red.
settings.register_profile("bench", deadline=None)
settings.load_profile("bench")

TESTS = Path(__file__).parent
# The rooms whose coverage is held, and the one that drives them.
COUNTED = {"quantities", "language", "procedure", "dialogue", "session"}


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """Count lines only while the core is tested: it makes every other test twice as slow."""
    measured = Coverage.current()
    if measured is None or (_room(item) in COUNTED and not item.get_closest_marker("audio")):
        return (yield)
    measured.stop()
    try:
        return (yield)
    finally:
        measured.start()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Say which tests must share a worker (``--dist loadgroup``), and put the longest first.

    The tests of a file share what they have loaded. A test that listens and speaks in real time
    mostly waits: it goes alone, so that several wait at once, and in turn with tests that compute.
    """
    waiting = [item for item in items if item.get_closest_marker("real_time")]
    others = [item for item in items if not item.get_closest_marker("real_time")]
    for item in others:
        item.add_marker(pytest.mark.xdist_group(str(item.path.relative_to(TESTS))))
    slow = {item.path for item in others if item.get_closest_marker("slow")}
    others.sort(key=lambda item: item.path not in slow)
    files: dict[Path, list[pytest.Item]] = {}
    for item in others:
        files.setdefault(item.path, []).append(item)
    alone = [[item] for item in waiting]
    items[:] = chain.from_iterable(
        chain.from_iterable(zip_longest(alone, files.values(), fillvalue=[]))
    )


def _room(item: pytest.Item) -> str:
    return item.path.relative_to(TESTS).parts[0]
