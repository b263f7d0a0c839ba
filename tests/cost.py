"""Processor time of each test file: ``pytest --cost``, with any number of workers.

It counts the test's own process, what it started and waited for, and the server of forked.py.
Unlike the clock it says the same on a busy machine, nearly. What is read and imported to know the
tests is a line of its own.
"""

from __future__ import annotations

import os
from collections import defaultdict
from collections.abc import Iterator
from multiprocessing.forkserver import _forkserver
from pathlib import Path
from typing import Any

import pytest

COLLECTED = "(all files, to know their tests)"


def spent_s() -> float:
    """Processor seconds of this process, of those it has waited for, and of forked runs."""
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system + _forked_s()


def _forked_s() -> float:
    """Of the server that forks for tests/forked.py and its ended runs; 0 where there is none."""
    server = _forkserver._forkserver_pid  # type: ignore[attr-defined]
    if server is None or not (stat := Path(f"/proc/{server}/stat")).exists():
        return 0.0
    ticks = stat.read_text("utf-8").rpartition(")")[2].split()[11:15]
    return sum(map(int, ticks)) / os.sysconf("SC_CLK_TCK")


class Cost:
    """Adds up in each worker, and where they are controlled."""

    def __init__(self) -> None:
        self.spent: defaultdict[str, float] = defaultdict(float)

    @pytest.hookimpl(wrapper=True, tryfirst=True)
    def pytest_collection(self) -> Iterator[None]:
        before = spent_s()
        try:
            return (yield)
        finally:
            self.spent[COLLECTED] += spent_s() - before

    @pytest.hookimpl(wrapper=True, tryfirst=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        before = spent_s()
        try:
            return (yield)
        finally:
            file = item.nodeid.partition("::")[0]
            self.spent[file] += spent_s() - before

    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        if hasattr(session.config, "workeroutput"):
            session.config.workeroutput["cost"] = dict(self.spent)

    @pytest.hookimpl(optionalhook=True)
    def pytest_testnodedown(self, node: Any) -> None:
        for file, seconds in getattr(node, "workeroutput", {}).get("cost", {}).items():
            self.spent[file] += seconds

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        terminalreporter.section("processor time (s)")
        for file, seconds in sorted(self.spent.items(), key=lambda row: -row[1]):
            terminalreporter.line(f"{seconds:7.1f}  {file}")
        terminalreporter.line(f"{sum(self.spent.values()):7.1f}  in all")
