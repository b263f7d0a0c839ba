"""A bench with a shared PostgreSQL store adds to the record; it can neither alter nor remove it.

The attacks are the statements with which PostgreSQL changes or removes rows, tables and what guards
them (PostgreSQL 15 manual, part VI "SQL Commands"); its error class 42501 is insufficient_privilege
(appendix A), P0001 is raise_exception, which the store's triggers use.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
from psycopg import Connection as PostgresConnection
from psycopg.errors import InsufficientPrivilege, RaiseException
from typer.testing import CliRunner, Result

from assistant.cli.main import app
from assistant.journal.buffered import BufferedJournal
from assistant.journal.seal import seal_record, signing_key
from assistant.journal.store import SqlJournal
from tests.journal.drafts import AT, SESSION, draft, opening
from tests.journal.postgres import Cluster

Connection = PostgresConnection[tuple[object, ...]]
TABLES = ("session", "entry", "seal", "journal_version")


def call(*arguments: str, typed: str = "") -> Result:
    return CliRunner().invoke(app, list(arguments), input=typed)


def bench_url(keeper: str) -> str:
    return keeper.replace("//bench@", "//bench_one@")


def contents(owner: Connection) -> list[list[tuple[object, ...]]]:
    return [owner.execute(f"TABLE {table} ORDER BY 1").fetchall() for table in TABLES]


@pytest.fixture(scope="module")
def keeper(cluster: Cluster, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The URL of the owner of a store with rights, in which a bench has recorded and sealed."""
    url = cluster.new_database()
    for _ in range(2):  # setting them again does no harm
        done = call("rights", "--store", url)
        assert done.exit_code == 0, done.output
    with psycopg.connect(url) as connection:
        connection.execute("CREATE ROLE bench_one LOGIN IN ROLE assembly_bench")
    journal = SqlJournal(bench_url(url))
    journal.append(SESSION, [opening(), draft(1)], 0)
    last = journal.append(SESSION, [draft(2), draft(3)], 2)[-1]
    key = signing_key(tmp_path_factory.mktemp("key"))
    journal.keep_seal(seal_record(SESSION, last.seq, last.hash, AT, key))
    assert journal.verify(SESSION) is None
    journal.close()
    return url


@pytest.fixture(scope="module")
def connections(keeper: str) -> Iterator[tuple[Connection, Connection]]:
    """The owner's connection and the bench's."""
    with (
        psycopg.connect(keeper, autocommit=True) as owner,
        psycopg.connect(bench_url(keeper), autocommit=True) as bench,
    ):
        yield owner, bench


@pytest.fixture
def bench(connections: tuple[Connection, Connection]) -> Iterator[Connection]:
    """The bench's connection; afterwards the store must be as it was."""
    owner, bench = connections
    before = contents(owner)
    assert all(before)
    yield bench
    assert contents(owner) == before


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize(
    "attack",
    [
        "DELETE FROM {}",
        "TRUNCATE {}",
        "TRUNCATE {} CASCADE",
        "DROP TABLE {}",
        "ALTER TABLE {} RENAME TO other",
        "ALTER TABLE {} DISABLE TRIGGER ALL",
        "ALTER TABLE {} OWNER TO bench_one",
        "CREATE TRIGGER t BEFORE INSERT ON {} EXECUTE FUNCTION entry_follows()",
        "CREATE RULE r AS ON INSERT TO {} DO INSTEAD NOTHING",
        "GRANT ALL ON {0} TO bench_one; DELETE FROM {0}",  # the grant alone is a warning
    ],
)
def test_no_table_can_be_emptied_dropped_or_changed(
    bench: Connection, table: str, attack: str
) -> None:
    with pytest.raises(InsufficientPrivilege), bench.transaction():
        bench.execute(attack.format(table))


@pytest.mark.parametrize(
    "attack",
    [
        "UPDATE entry SET body = '{}'",
        "UPDATE entry SET hash = prev WHERE seq = 1",
        "INSERT INTO entry SELECT * FROM entry ON CONFLICT (session, seq) DO UPDATE SET body = ''",
        "MERGE INTO entry e USING session s ON e.session = s.session WHEN MATCHED THEN DELETE",
        "SELECT * FROM entry FOR UPDATE",
        "UPDATE seal SET document = '{}'",
        "UPDATE session SET job = 'KB2-9'",
        "UPDATE session SET session = 'other'",
        "UPDATE session SET opened_at = last_at",
        "UPDATE journal_version SET version_num = '0001'",
        "SELECT setval('session_number_seq', 1)",
        "DROP TRIGGER entry_follows ON entry",
        "DROP FUNCTION entry_follows() CASCADE",
        "CREATE OR REPLACE FUNCTION entry_follows() RETURNS trigger LANGUAGE plpgsql AS "
        "'BEGIN RETURN NEW; END'",
        "SET session_replication_role = replica",  # would switch triggers off
        "DROP SCHEMA public CASCADE",
        "CREATE TABLE public.other (a int)",
        "CREATE TEMPORARY TABLE entry (a int)",
        "CREATE SCHEMA other",
        "SET ROLE bench",
        "ALTER ROLE bench_one SUPERUSER",
        "COPY entry FROM PROGRAM 'true'",
    ],
)
def test_nothing_recorded_and_no_guard_can_be_changed(bench: Connection, attack: str) -> None:
    with pytest.raises(InsufficientPrivilege), bench.transaction():
        bench.execute(attack)


ENTRY = "INSERT INTO entry SELECT session, {seq}, kind, at, body, clip, engine, {prev}, 'f' FROM "


@pytest.mark.parametrize(
    ("attack", "words"),
    [
        (["UPDATE session SET entries = 2, last_hash = (SELECT hash FROM entry WHERE seq = 2)"],
         "only move forward"),
        (["UPDATE session SET last_hash = repeat('0', 64)"], "only move forward"),
        (["UPDATE session SET entries = 5"], "must be its last entry"),
        (["INSERT INTO session (session, job, procedure_id, opened_at, last_at, entries, "
          "last_hash) VALUES ('empty', 'j', 'p', '', '', 0, '')"], "must be its last entry"),
        ([ENTRY.format(seq=5, prev="hash") + "entry WHERE seq = 4"], "past the head"),
        ([ENTRY.format(seq=0, prev="prev") + "entry WHERE seq = 1"], "past the head"),
        (["UPDATE session SET entries = 5, last_hash = 'f'",
          ENTRY.format(seq=5, prev="prev") + "entry WHERE seq = 4"], "does not follow"),
        (["UPDATE session SET entries = 6, last_hash = 'f'",
          ENTRY.format(seq=6, prev="hash") + "entry WHERE seq = 4"], "does not follow"),
    ],
)  # fmt: skip
def test_an_addition_that_the_program_would_not_make_is_refused(
    bench: Connection, attack: list[str], words: str
) -> None:
    with pytest.raises(RaiseException, match=words), bench.transaction():
        bench.execute("; ".join(attack))


def test_a_bench_runs_and_resumes_a_session(
    keeper: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path))
    shop = ("--keyboard", "--voice", "silent", "--store", bench_url(keeper))
    people = ("--builder", "Otto Brandwick", "--inspector", "Marta Quill")
    stop = "stop work\nthat is right\n"
    begun = call("run", "kb2_input_shaft", *people, *shop, typed=stop)
    assert begun.exit_code == 0, begun.output
    journal = SqlJournal(keeper)
    on_server = journal.sessions()[0]
    assert on_server.procedure_id == "kb2_input_shaft"
    resumed = call("resume", on_server.session, *shop, typed=stop)
    assert resumed.exit_code == 0, resumed.output
    assert "Welcome back" in resumed.output
    assert journal.entries_of(on_server.session) > on_server.entries
    assert journal.verify(on_server.session) is None
    assert call("verify", on_server.session, "--store", bench_url(keeper)).exit_code == 0
    journal.close()


def test_what_was_recorded_while_the_server_was_away_is_sent(keeper: str, tmp_path: Path) -> None:
    there, here = SqlJournal(bench_url(keeper)), tmp_path / "waiting.db"
    local = SqlJournal(here)
    local.adopt(there.append("kb2-away", [opening()], 0))
    local.append("kb2-away", [draft(1), draft(2)], 1)
    local.append("kb2-away-too", [opening(), draft(3)], 0)
    local.close()
    bench = BufferedJournal(bench_url(keeper), here)
    assert bench.state().reachable
    assert bench.state().waiting == 0
    bench.close()
    assert (there.entries_of("kb2-away"), there.entries_of("kb2-away-too")) == (3, 2)
    assert there.verify("kb2-away") is None
    there.close()


def test_a_bench_cannot_set_rights_and_a_file_has_none(keeper: str, tmp_path: Path) -> None:
    refused = call("rights", "--store", bench_url(keeper))
    assert refused.exit_code == 2
    assert "does not give this user the right" in refused.output
    assert "PostgreSQL" in call("rights", "--store", str(tmp_path / "records.db")).output
    assert "Name the store" in call("rights").output
    assert "CREATE TRIGGER" in call("rights", "--show").output
