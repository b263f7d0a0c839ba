"""Settings common to all tests, what coverage counts, and the order and company of the tests."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from coverage import Coverage
from hypothesis import settings

from tests.cost import Cost
from tests.sharing import ByFile, in_order

# No timing assertions: a loaded machine must not turn a property test red.
settings.register_profile("bench", deadline=None)
settings.load_profile("bench")

TESTS = Path(__file__).parent
COUNTED = {"quantities", "language", "procedure", "dialogue"}  # the rooms whose coverage is held


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--cost", action="store_true", help="Show processor time by test file.")


def pytest_configure(config: pytest.Config) -> None:
    if config.getoption("cost"):
        config.pluginmanager.register(Cost())


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> ByFile:
    config.option.loadscopereorder = False  # in the order in which they were collected
    return ByFile(config, log)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items[:] = in_order(items)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """Count lines only while the core is tested: it makes every other test twice as slow.

    A worker runs two measurements, one inside the other (one is started with the plugin, one with
    the session), and stopping the inner one resumes the outer: stop them all.
    """
    if _counts(item):
        return (yield)
    stopped = list(_stop_all())
    try:
        return (yield)
    finally:
        for measurement in reversed(stopped):
            measurement.start()


def _stop_all() -> Iterator[Coverage]:
    while (running := Coverage.current()) is not None:
        running.stop()
        yield running


def _counts(item: pytest.Item) -> bool:
    room = item.path.relative_to(TESTS).parts[0]
    return room in COUNTED and item.get_closest_marker("uncounted") is None
