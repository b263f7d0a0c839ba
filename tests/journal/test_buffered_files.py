"""What a bench sends, keeps and sets aside, with a second file in the place of the server.

``test_buffered.py`` does the same with a real server; these are quick, and look closer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest

from assistant.journal import buffered
from assistant.journal.buffered import BufferedJournal
from assistant.journal.seal import seal_record, signing_key
from assistant.journal.store import SqlJournal
from assistant.journal.types import ConflictError, Draft, Entry, JournalError, SessionRow
from assistant.language.english import in_english
from tests.journal.drafts import AT, SESSION, draft, opening

NUMBERS = [None, 1, 2, 3]


class Server:
    """A file that answers, or does not; counts how often it was tried while away."""

    def __init__(self, place: Path) -> None:
        self.url = str(place)
        self.away = False
        self.tried = 0
        self.adopted: list[int] = []
        self.now = 0.0

    def store(self, place: str | Path, wait_s: float = 5.0) -> SqlJournal:
        """What opens a store: the file of the server answers only where it is there."""
        return _Switched(self, place, wait_s) if str(place) == self.url else SqlJournal(place)

    def look(self) -> None:
        if self.away:
            self.tried += 1
            raise JournalError("The server does not answer.")


class _Switched(SqlJournal):
    def __init__(self, server: Server, place: str | Path, wait_s: float) -> None:
        self._server = server
        assert wait_s == 2.0
        server.look()
        super().__init__(place, wait_s)

    def append(self, session: str, drafts: Sequence[Draft], expect_seq: int) -> list[Entry]:
        self._server.look()
        return super().append(session, drafts, expect_seq)

    def adopt(self, entries: Sequence[Entry]) -> None:
        self._server.look()
        self._server.adopted.append(len(entries))
        super().adopt(entries)

    def entries_of(self, session: str) -> int:
        self._server.look()
        return super().entries_of(session)


@pytest.fixture
def server(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Server:
    made = Server(tmp_path / "server.db")
    monkeypatch.setattr(buffered, "SqlJournal", made.store)
    return made


@pytest.fixture
def bench(server: Server, tmp_path: Path) -> Iterator[BufferedJournal]:
    journal = at_bench(server, tmp_path / "spool.db")
    yield journal
    journal.close()


def at_bench(server: Server, spool: Path) -> BufferedJournal:
    return BufferedJournal(server.url, spool, wait_s=2.0, elapsed=lambda: server.now)


def numbers(entries: Iterator[Entry]) -> list[object]:
    return [e.body.get("number") for e in entries]


def test_what_waits_is_sent_as_it_is_once_the_server_answers(
    server: Server, bench: BufferedJournal
) -> None:
    bench.append(SESSION, [opening(), draft(1)], 0)
    server.away = True
    bench.append(SESSION, [draft(2)], 2)
    bench.append(SESSION, [draft(3)], 3)
    told = bench.news()
    assert told is not None
    assert (told.reachable, told.waiting) == (False, 2)
    assert "2" in in_english(told.told)
    assert "The server does not answer" in in_english(told.told)
    assert bench.news() is None
    server.away = False
    server.now = 15.0
    assert bench.flush()
    back = bench.news()
    assert back is not None
    assert (back.reachable, back.waiting) == (True, 0)
    with_server = SqlJournal(server.url)
    assert numbers(with_server.read(SESSION)) == NUMBERS
    assert list(with_server.read(SESSION)) == list(bench._local.read(SESSION))
    assert server.adopted == [3], "from the last common entry on, which is compared"


LITTLE = buffered._LITTLE


def behind(server: Server, bench: BufferedJournal, entries: int) -> int:
    """The bench records ``entries`` while the server is away, which then answers again."""
    bench.append(SESSION, [opening()], 0)
    server.away = True
    for number in range(1, entries):
        bench.append(SESSION, [draft(number)], number)
    server.away = False
    server.now += 15.0
    server.adopted.clear()
    return entries


def all_is_there(server: Server, bench: BufferedJournal, known: int) -> None:
    """The server has every entry, once and in order, as it is here."""
    with_server = SqlJournal(server.url)
    assert numbers(with_server.read(SESSION)) == [None, *range(1, known)]
    assert list(with_server.read(SESSION)) == list(bench._local.read(SESSION))
    assert with_server.verify(SESSION) is None
    with_server.close()


def test_an_append_sends_no_more_than_a_little_of_what_waits(
    server: Server, bench: BufferedJournal
) -> None:
    known = behind(server, bench, 3 * LITTLE)
    assert bench.news() is not None  # that it was away
    sent = []
    while bench.state().waiting or not bench.state().reachable:
        before = len(server.adopted)
        known = bench.append(SESSION, [draft(known)], known)[-1].seq
        sent.append(server.adopted[before:])
    assert len(sent) > 2
    assert all(len(pieces) <= 1 and sum(pieces) <= LITTLE + 1 for pieces in sent)
    all_is_there(server, bench, known)


def test_the_rest_goes_between_utterances_and_the_builder_hears_that_the_bench_is_behind(
    server: Server, bench: BufferedJournal
) -> None:
    known = behind(server, bench, 3 * LITTLE)
    bench.append("kb2-2", [opening(), draft(1)], 0)  # reaches the server: nothing of it waits
    away = bench.news()
    assert away is not None
    assert (away.reachable, away.waiting) == (True, 2 * LITTLE - 1)
    assert str(2 * LITTLE - 1) in in_english(away.told)
    assert "still being sent" in in_english(away.told)
    told = [bench.news() for _ in range(4)]
    (whole,) = [news for news in told if news is not None]
    assert (whole.reachable, whole.waiting) == (True, 0)
    assert "everything is recorded there" in in_english(whole.told)
    assert max(server.adopted) <= LITTLE + 1
    with_server = SqlJournal(server.url)
    assert with_server.entries_of(SESSION) == known
    assert with_server.verify(SESSION) is None
    with_server.close()


def test_a_server_that_stops_again_while_the_bench_catches_up_loses_and_doubles_nothing(
    server: Server, bench: BufferedJournal
) -> None:
    known = behind(server, bench, 3 * LITTLE)
    for turn in range(8):
        server.away = turn % 2 == 1
        server.now += 15.0
        known = bench.append(SESSION, [draft(known)], known)[-1].seq
        bench.news()
    server.away = False
    server.now += 15.0
    assert bench.flush()
    all_is_there(server, bench, known)


def test_a_fork_is_met_by_the_first_piece_that_is_sent(
    server: Server, bench: BufferedJournal
) -> None:
    known = behind(server, bench, 3 * LITTLE)
    other = SqlJournal(server.url)
    other.append(SESSION, [draft(9999)], 1)
    with pytest.raises(ConflictError, match="two places"):
        bench.append(SESSION, [draft(known)], known)
    assert numbers(other.read(SESSION)) == [None, 9999]
    assert bench._local.entries_of(SESSION) == known
    other.close()


def test_a_server_that_failed_is_left_alone_for_a_while(
    server: Server, bench: BufferedJournal
) -> None:
    server.away = True
    bench.append(SESSION, [opening()], 0)
    assert server.tried == 1
    for now in (0.0, 14.9):
        server.now = now
        assert not bench.flush()
    assert server.tried == 1
    server.now = 15.0
    assert not bench.flush()
    assert server.tried == 2
    server.now = 29.9
    bench.append(SESSION, [draft(1)], 1)
    assert server.tried == 2


def test_the_next_process_sends_what_waited(
    server: Server, bench: BufferedJournal, tmp_path: Path
) -> None:
    server.away = True
    bench.append(SESSION, [opening(), draft(1)], 0)
    bench.append("kb2-2", [opening("KB2-8")], 0)
    bench.close()
    server.away = False
    again = at_bench(server, tmp_path / "spool.db")
    there = SqlJournal(server.url)
    assert numbers(there.read(SESSION)) == [None, 1]
    assert again.state().reachable
    assert again.state().waiting == 0
    assert again.sessions() == there.sessions() == [
        SessionRow("kb2-2", "KB2-8", "kb2_cap", AT, AT, 1),
        SessionRow(SESSION, "KB2-7", "kb2_cap", AT, AT, 2),
    ]  # fmt: skip
    again.close()


def test_a_long_outage_is_sent_in_batches(
    server: Server, bench: BufferedJournal, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(buffered, "_BATCH", 2)
    server.away = True
    bench.append(SESSION, [opening(), draft(1), draft(2), draft(3)], 0)
    bench.append(SESSION, [draft(4)], 4)
    server.away, server.now = False, 15.0
    assert bench.flush()
    assert server.adopted == [2, 3, 2], "each with the last one before it, which is compared"
    assert numbers(SqlJournal(server.url).read(SESSION)) == [*NUMBERS, 4]


def test_a_fork_is_set_aside_in_words_and_the_rest_goes_on(
    server: Server, bench: BufferedJournal, tmp_path: Path
) -> None:
    bench.append(SESSION, [opening()], 0)
    server.away = True
    bench.append(SESSION, [draft(1)], 1)
    other = SqlJournal(server.url)
    other.append(SESSION, [draft(99), draft(98)], 1)
    server.away, server.now = False, 15.0
    assert bench.flush()
    sentence = (
        f"Session {SESSION} was recorded in two places: on the server and in "
        f"{tmp_path / 'spool.db'}. It is set aside, both copies are kept; verify both, and "
        "continue with a new session."
    )
    assert bench.set_aside() == (sentence,)
    with pytest.raises(ConflictError) as refused:
        bench.append(SESSION, [draft(2)], 2)
    assert str(refused.value) == sentence
    assert numbers(bench.read(SESSION)) == [None, 99, 98]
    assert numbers(bench.read(SESSION, 2)) == [98]
    assert numbers(bench._local.read(SESSION)) == [None, 1]
    assert bench.append("kb2-2", [opening()], 0)[0].seq == 1


def test_a_session_of_another_bench_is_copied_and_goes_on_without_the_server(
    server: Server, bench: BufferedJournal
) -> None:
    SqlJournal(server.url).append(SESSION, [opening(), draft(1)], 0)
    assert bench.append(SESSION, [draft(2)], 2)[0].seq == 3
    assert numbers(bench._local.read(SESSION)) == [None, 1, 2]
    SqlJournal(server.url).append("kb2-2", [opening(), draft(1)], 0)
    assert numbers(bench.read("kb2-2", 1)) == [1]
    server.away = True
    assert numbers(bench.read("kb2-2")) == [None, 1]
    assert numbers(bench.read("kb2-2", 1)) == [1]
    bench.append(SESSION, [draft(3)], 3)
    assert bench.state().waiting == 1
    assert [r.entries for r in bench.sessions()] == [2, 4]


def test_a_copy_that_fails_loses_nothing(
    server: Server, bench: BufferedJournal, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.append(SESSION, [opening()], 0)

    def full(entries: Sequence[Entry]) -> None:
        raise JournalError("The disk is full.")

    with monkeypatch.context() as patch:
        patch.setattr(bench._local, "adopt", full)
        assert bench.append(SESSION, [draft(1)], 1)[0].seq == 2
    assert numbers(bench._local.read(SESSION)) == [None]
    bench.append(SESSION, [draft(2)], 2)
    assert numbers(bench._local.read(SESSION)) == [None, 1, 2]


def test_what_is_verified_and_sealed_is_the_record_on_the_server(
    server: Server, bench: BufferedJournal, tmp_path: Path
) -> None:
    bench.append(SESSION, [opening(), draft(1)], 0)
    there = SqlJournal(server.url)
    head = list(there.read(SESSION))[-1]
    seal = seal_record(SESSION, 2, head.hash, AT, signing_key(tmp_path))
    bench.keep_seal(seal)
    assert bench.seals(SESSION) == there.seals(SESSION) == [seal]
    assert bench._local.seals(SESSION) == []
    assert bench.verify(SESSION) is None
    with there._engine.begin() as connection:
        connection.exec_driver_sql("UPDATE entry SET at = '2026' WHERE seq = 2")
    bad = bench.verify(SESSION)
    assert bad is not None
    assert (bad.session, bad.seq, bad.wrong) == (SESSION, 2, "altered")
