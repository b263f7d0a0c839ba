"""Rights in a store on PostgreSQL that several benches share: a bench may append, not alter."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy.exc import SQLAlchemyError

from assistant.journal.location import connect, store_url
from assistant.journal.store import SqlJournal
from assistant.journal.store_errors import explain
from assistant.journal.types import JournalError

BENCH_ROLE = "assembly_bench"
"""The role whose members may add to the record; ``bench_rights.sql`` makes it."""


def rights_sql() -> str:
    """The statements that set the rights, to read or to run by hand."""
    return (Path(__file__).parent / "bench_rights.sql").read_text(encoding="utf-8")


def set_rights(url: str, wait_s: float = 5.0) -> None:
    """Make the tables at ``url`` if there are none, and set the rights, in one transaction.

    ``url`` is that of the owner of the database; ``wait_s`` is how long to wait for the server, in
    seconds. Doing it again is harmless.

    Raises:
        JournalError: the store is no PostgreSQL database, cannot be reached, or its owner is
            somebody else; then no right has changed.
    """
    place = store_url(url)
    if place.get_backend_name() != "postgresql":
        raise JournalError(
            "Rights are for a store on PostgreSQL; give --store postgresql://user@host/database. "
            "A file has the permissions of its folder."
        )
    SqlJournal(url, wait_s).close()
    engine = connect(place, wait_s)
    try:
        with engine.connect() as connection, connection.begin():
            # Without parameters the driver sends all statements at once and leaves '%' alone.
            connection.execution_options(no_parameters=True).exec_driver_sql(rights_sql())
    except SQLAlchemyError as fault:
        raise explain(fault, place) from fault
    finally:
        engine.dispose()
