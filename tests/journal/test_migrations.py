"""Stores of every schema since the first are brought up to date on opening, and only forward."""

from __future__ import annotations

from pathlib import Path

import pytest
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import inspect, text

import assistant.journal.migrations as migrations
from assistant.journal.location import WRITES, connect, store_url
from assistant.journal.migrate import NEWEST, bring_up_to_date
from assistant.journal.store import SqlJournal
from assistant.journal.tables import metadata
from assistant.journal.types import JournalError
from tests.journal.drafts import draft

FIRST_RECORD = Path(__file__).parent / "first_schema.sql"


def revisions() -> list[str]:
    """All migrations, first to newest."""
    config = Config()
    config.set_main_option("script_location", str(Path(migrations.__file__).parent))
    return [s.revision for s in ScriptDirectory.from_config(config).walk_revisions()][::-1]


def test_the_newest_is_the_one_named_in_the_code() -> None:
    assert revisions()[-1] == NEWEST
    assert revisions() == sorted(revisions())


@pytest.mark.parametrize("revision", ["0001", "0002"])
def test_a_store_of_any_schema_is_brought_up_to_date(place: str, revision: str) -> None:
    """The record in it was written under the first schema, and its hashes are frozen here."""
    assert revision in revisions()
    engine = connect(store_url(place), 1.0)
    with engine.connect().execution_options(**{WRITES: True}) as connection, connection.begin():
        bring_up_to_date(connection, revision)
        for statement in FIRST_RECORD.read_text(encoding="utf-8").split(";\n"):
            if statement.strip():
                connection.execute(text(statement.replace(":", "\\:")))
    engine.dispose()
    journal = SqlJournal(place)
    assert journal.verify("kb2-first") is None
    assert [e.seq for e in journal.read("kb2-first")] == [1, 2, 3]
    assert journal.append("kb2-first", [draft(4)], 3)[0].seq == 4
    assert journal.seals("kb2-first") == []
    assert journal.verify("kb2-first") is None
    journal.close()


def test_the_migrations_make_the_tables_that_the_code_sees(place: str) -> None:
    journal = SqlJournal(place)
    found = inspect(journal._engine)
    for table in metadata.sorted_tables:
        columns = {c["name"]: bool(c["nullable"]) for c in found.get_columns(table.name)}
        assert columns == {c.name: bool(c.nullable) for c in table.columns}
        assert found.get_pk_constraint(table.name)["constrained_columns"] == [
            c.name for c in table.primary_key.columns
        ]
    journal.close()


def test_a_store_of_the_future_is_left_alone(place: str) -> None:
    journal = SqlJournal(place)
    journal.append("s", [draft(1)], 0)
    with journal._engine.begin() as connection:
        connection.execute(text("UPDATE journal_version SET version_num = '9999'"))
    journal.close()
    with pytest.raises(JournalError, match="newer version"):
        SqlJournal(place)


def test_no_migration_goes_back() -> None:
    config = Config()
    config.set_main_option("script_location", str(Path(migrations.__file__).parent))
    for script in ScriptDirectory.from_config(config).walk_revisions():
        assert not hasattr(script.module, "downgrade")
