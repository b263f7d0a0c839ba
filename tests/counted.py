"""What coverage counts: the lines of the four core rooms, while those are tested.

Counting makes what runs about twice as slow, so it stops for all else. pytest-cov has a measurement
running from the start, in the process that controls the workers and, twice, in each worker.
"""

from __future__ import annotations

import pkgutil
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path

import pytest
from coverage import Coverage

TESTS = Path(__file__).parent
COUNTED = ("quantities", "language", "procedure", "dialogue")  # the rooms whose coverage is held


def counts(item: pytest.Item) -> bool:
    """Whether the lines that this test runs are counted.

    Not those of a property test: it tries a hundred times what examples have tried.
    """
    room = item.path.relative_to(TESTS).parts[0]
    marks = {mark.name for mark in item.iter_markers()}
    return room in COUNTED and marks.isdisjoint({"uncounted", "hypothesis"})


def import_the_core() -> None:
    """Run the lines that only importing runs, so that one process counts them for all."""
    if Coverage.current() is None:
        return
    for room in COUNTED:
        package = import_module(f"assistant.{room}")
        for module in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            import_module(module.name)


@contextmanager
def uncounted() -> Iterator[None]:
    """Stop every measurement: stopping the inner one resumes the outer."""
    stopped = list(_stop_all())
    try:
        yield
    finally:
        for measurement in reversed(stopped):
            measurement.start()


def _stop_all() -> Iterator[Coverage]:
    while (running := Coverage.current()) is not None:
        running.stop()
        yield running
