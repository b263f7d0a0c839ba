"""Both stores for every test: a SQLite file, and a real PostgreSQL server of the tests' own."""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from assistant.journal.store import SqlJournal
from tests.journal.postgres import Cluster


@pytest.fixture(scope="session")
def cluster() -> Iterator[Cluster]:
    """A PostgreSQL server that lives as long as the test run."""
    if sys.platform != "linux":
        pytest.skip("needs Debian's PostgreSQL: scripts/install_system.sh --tests")
    folder = Path(tempfile.mkdtemp(prefix="kb2-pg-"))
    server = Cluster(folder)
    server.make()
    server.start()
    yield server
    server.stop()
    shutil.rmtree(folder)


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where a new, empty store may be made."""
    if request.param == "sqlite":
        return str(tmp_path / "records.db")
    server: Cluster = request.getfixturevalue("cluster")
    return server.new_database()


@pytest.fixture
def opened(place: str) -> Iterator[Callable[[], SqlJournal]]:
    """Opens the store, as often as asked; closes all at the end."""
    journals: list[SqlJournal] = []

    def open_one() -> SqlJournal:
        journals.append(SqlJournal(place, wait_s=0.2))
        return journals[-1]

    yield open_one
    for journal in journals:
        journal.close()


@pytest.fixture
def journal(opened: Callable[[], SqlJournal]) -> SqlJournal:
    """One open store."""
    return opened()
