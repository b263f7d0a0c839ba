"""A bench goes on recording while its PostgreSQL server is away, and nothing is lost or doubled."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest

from assistant.journal.buffered import BufferedJournal
from assistant.journal.store import SqlJournal
from assistant.journal.types import ConflictError, Draft, Entry
from assistant.language.english import in_english
from tests.journal.drafts import SESSION, draft, opening
from tests.journal.postgres import Cluster


class Ticks:
    """A clock that moves when told to."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def ticks() -> Ticks:
    return Ticks()


@pytest.fixture
def bench(cluster: Cluster, tmp_path: Path, ticks: Ticks) -> Iterator[BufferedJournal]:
    """A bench with an empty database on the server."""
    url = cluster.new_database()
    journal = BufferedJournal(url, tmp_path / "spool.db", wait_s=2.0, elapsed=ticks)
    yield journal
    journal.close()


@pytest.fixture
def server(cluster: Cluster) -> Iterator[Cluster]:
    """The server, running again afterwards whatever the test did."""
    yield cluster
    if not cluster.running():
        cluster.start()


def test_the_server_dies_and_comes_back(
    bench: BufferedJournal, server: Cluster, ticks: Ticks
) -> None:
    bench.append(SESSION, [opening(), draft(1)], 0)
    server.stop()
    bench.append(SESSION, [draft(2)], 2)
    news = bench.news()
    assert news is not None
    assert (news.reachable, news.waiting) == (False, 1)
    assert "server does not answer" in in_english(news.told).lower()
    bench.append(SESSION, [draft(3)], 3)
    bench.append("kb2-2", [opening()], 0)
    assert bench.news() is None, "told once"
    assert bench.state().waiting == 3
    server.start()
    assert not bench.flush(), "the server is left alone for a while"
    ticks.now += 20
    bench.append(SESSION, [draft(4)], 4)
    back = bench.news()
    assert back is not None
    assert (back.reachable, back.waiting) == (True, 0)
    remote = SqlJournal(bench._url)
    assert [e.body.get("number") for e in remote.read(SESSION)] == [None, 1, 2, 3, 4]
    assert list(remote.read(SESSION)) == list(bench._local.read(SESSION))
    assert remote.verify(SESSION) is None
    assert remote.verify("kb2-2") is None
    remote.close()


def test_entries_that_wait_are_sent_by_the_next_process(
    bench: BufferedJournal, server: Cluster, tmp_path: Path
) -> None:
    server.stop()
    bench.append(SESSION, [opening(), draft(1)], 0)
    bench.close()
    server.start()
    again = BufferedJournal(bench._url, tmp_path / "spool.db")
    assert again.state().reachable
    assert again.append(SESSION, [draft(2)], 2)[0].seq == 3
    assert again.verify(SESSION) is None
    again.close()


def test_a_commit_that_did_succeed_is_not_doubled(
    bench: BufferedJournal, server: Cluster, ticks: Ticks, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The server commits and dies before it can say so."""
    bench.append(SESSION, [opening()], 0)
    remote = bench._remote
    assert remote is not None

    def commits_then_dies(session: str, drafts: list[Draft], expect_seq: int) -> list[Entry]:
        SqlJournal.append(remote, session, drafts, expect_seq)
        server.stop()
        return SqlJournal.append(remote, session, drafts, expect_seq)

    monkeypatch.setattr(remote, "append", commits_then_dies)
    bench.append(SESSION, [draft(1)], 1)
    server.start()
    ticks.now += 20
    bench.append(SESSION, [draft(2)], 2)
    assert [e.body.get("number") for e in bench.read(SESSION)] == [None, 1, 2]
    assert bench.state().reachable
    assert bench.verify(SESSION) is None


def test_two_benches_that_recorded_the_same_session_are_not_joined(
    bench: BufferedJournal, server: Cluster, ticks: Ticks
) -> None:
    bench.append(SESSION, [opening()], 0)
    server.stop()
    bench.append(SESSION, [draft(1)], 1)
    server.start()
    other = SqlJournal(bench._url)
    other.append(SESSION, [draft(99), draft(98)], 1)
    other.close()
    ticks.now += 20
    with pytest.raises(ConflictError, match="two places"):
        bench.append(SESSION, [draft(2)], 2)


def test_a_forked_session_is_set_aside_and_the_bench_goes_on(
    bench: BufferedJournal, server: Cluster, tmp_path: Path
) -> None:
    bench.append(SESSION, [opening()], 0)
    server.stop()
    bench.append(SESSION, [draft(1)], 1)
    bench.append("kb2-2", [opening()], 0)
    bench.close()
    server.start()
    other = SqlJournal(bench._url)
    other.append(SESSION, [draft(99), draft(98)], 1)
    again = BufferedJournal(bench._url, tmp_path / "spool.db")
    (told,) = again.set_aside()
    assert f"Session {SESSION} was recorded in two places" in told
    assert str(tmp_path / "spool.db") in told
    assert other.entries_of("kb2-2") == 1  # what is sound was sent all the same
    again.append("kb2-3", [opening(), draft(1)], 0)
    assert other.entries_of("kb2-3") == 2
    assert again.state().reachable
    for seq in (2, 3):  # the lengths of either copy: nothing is joined to one by chance
        with pytest.raises(ConflictError, match="two places"):
            again.append(SESSION, [draft(2)], seq)
    assert [e.body.get("number") for e in again.read(SESSION)] == [None, 99, 98]
    assert [e.body.get("number") for e in other.read(SESSION)] == [None, 99, 98]
    assert [e.body.get("number") for e in again._local.read(SESSION)] == [None, 1]
    again.close()
    other.close()


def test_a_conflict_is_met_before_anything_is_kept_here(bench: BufferedJournal) -> None:
    bench.append(SESSION, [opening()], 0)
    other = SqlJournal(bench._url)
    other.append(SESSION, [draft(9)], 1)
    with pytest.raises(ConflictError, match="another process"):
        bench.append(SESSION, [draft(1)], 1)
    assert bench._local.entries_of(SESSION) == 1
    other.close()


def test_a_session_begun_on_another_bench_is_taken_up_and_survives_the_server(
    bench: BufferedJournal, server: Cluster
) -> None:
    other = SqlJournal(bench._url)
    other.append(SESSION, [opening(), draft(1)], 0)
    other.close()
    assert len(list(bench.read(SESSION))) == 2
    server.stop()
    assert bench.append(SESSION, [draft(2)], 2)[0].seq == 3
    assert len(list(bench.read(SESSION))) == 3
    assert bench.sessions()[0].entries == 3


def test_a_server_that_takes_the_question_and_never_answers_is_given_up(
    cluster: Cluster, tmp_path: Path, ticks: Ticks
) -> None:
    """Somebody's lock on the session keeps the answer back, as a frozen server would."""
    url = cluster.new_database()
    bench = BufferedJournal(url, tmp_path / "spool.db", wait_s=0.1, elapsed=ticks)
    bench.append(SESSION, [opening()], 0)
    with psycopg.connect(url) as holds:
        holds.execute("SELECT * FROM session FOR UPDATE")
        assert bench.append(SESSION, [draft(1)], 1)[0].seq == 2
        assert not bench.state().reachable
        assert bench.state().waiting == 1
    ticks.now += 20
    bench.append(SESSION, [draft(2)], 2)
    assert bench.state().reachable
    remote = SqlJournal(url)
    assert [e.body.get("number") for e in remote.read(SESSION)] == [None, 1, 2]
    assert remote.verify(SESSION) is None
    remote.close()
    bench.close()
