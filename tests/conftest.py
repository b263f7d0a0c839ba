"""Settings common to all tests, what coverage counts, and the order and company of the tests."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from tests.cost import Cost
from tests.counted import counts, import_the_core, uncounted
from tests.sharing import ByFile, in_order, is_left_out, read_own_share

# No timing assertions: a loaded machine must not turn a property test red.
settings.register_profile("bench", deadline=None)
settings.load_profile("bench")

# Thousands of tests are kept in memory. To look through them for garbage as often as Python does by
# itself takes a tenth of the time.
gc.set_threshold(20_000)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--cost", action="store_true", help="Show processor time by test file.")


def pytest_configure(config: pytest.Config) -> None:
    if config.getoption("cost"):
        config.pluginmanager.register(Cost())


def pytest_sessionstart(session: pytest.Session) -> None:
    """The process that controls the workers counts what importing runs; workers need not."""
    if not hasattr(session.config, "workerinput"):
        import_the_core()


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    return is_left_out(collection_path, config) or None  # None: as pytest thinks


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_collection(session: pytest.Session) -> Iterator[None]:
    with uncounted():
        read_own_share(session.config)
        return (yield)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> ByFile:
    config.option.loadscopereorder = False  # in the order in which they were collected
    return ByFile(config, log)


def pytest_collection_finish() -> None:
    gc.freeze()  # what is known now is kept to the end, and not looked through again


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items[:] = in_order(items)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    if counts(item):
        return (yield)
    with uncounted():
        return (yield)
