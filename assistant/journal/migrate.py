"""Brings a store's tables up to date, forward only, when it is opened."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection, inspect, text

from assistant.journal.types import JournalError

NEWEST = "0002"
"""The newest migration; kept here so that opening an up-to-date store does not load alembic."""

VERSION_TABLE = "journal_version"


def version(connection: Connection) -> str | None:
    """The migration that the store is at; None for an empty one."""
    names = inspect(connection).get_table_names()
    if VERSION_TABLE in names:
        found = connection.execute(text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar()
        return None if found is None else str(found)
    if names:
        raise JournalError(
            "This database holds other tables and no record store; name a database of its own."
        )
    return None


def bring_up_to_date(connection: Connection, target: str = NEWEST) -> None:
    """Run the migrations that are missing up to ``target``, inside the open transaction.

    Raises:
        JournalError: a newer version of the assistant made the store.
    """
    from alembic import command
    from alembic.config import Config

    if connection.dialect.name == "postgresql":
        # Two benches may open an empty database at once; the second waits here.
        connection.execute(text("SELECT pg_advisory_xact_lock(20260105)"))
    present = version(connection)
    if present is not None and present > NEWEST:
        raise JournalError(
            "A newer version of the assistant made this store; update the assistant to use it."
        )
    if present is not None and present >= target:
        return
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    config.attributes["connection"] = connection
    command.upgrade(config, target)
