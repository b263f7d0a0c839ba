"""Where the store is, and the connection to it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from sqlite3 import Connection as SqliteConnection
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError, NoSuchModuleError

from assistant.folders import user_data
from assistant.journal.durable import make_folder
from assistant.journal.types import JournalError

WRITES = "journal_writes"
"""Execution option of connections that will write: they take SQLite's lock at their beginning."""

_ANSWER = 3  # times as long as for a lock or a connection, a server may take for one answer

ANY_BYTES = "journal_any_bytes"
"""Execution option of connections that must read texts even when they are not UTF-8 any more, so
that damage reaches `verify` and does not stop it; slower. See ``chain.entry_hash``."""


def default_location() -> Path:
    """The user's own store: ``records.db`` in the data folder."""
    return user_data("records.db")


def store_url(url_or_path: str | Path) -> URL:
    """The database URL of a file's path or of a URL's text.

    Raises:
        JournalError: the URL is malformed or of a database that is not supported.
    """
    if isinstance(url_or_path, Path) or "://" not in url_or_path:
        return URL.create("sqlite", database=str(Path(url_or_path).expanduser()))
    try:
        url = make_url(url_or_path)
        kind = url.get_backend_name()
    except (ArgumentError, NoSuchModuleError, ValueError) as fault:
        raise JournalError(
            "The store's URL cannot be read; write it as postgresql://user@host/database."
        ) from fault
    if kind == "postgresql":
        return url.set(drivername="postgresql+psycopg")
    if kind == "sqlite":
        return url
    raise JournalError(
        f"A store of the kind '{kind}' is not supported; use a file or postgresql://..."
    )


def connect(url: URL, wait_s: float) -> Engine:
    """An engine for ``url`` that waits ``wait_s`` seconds for a lock or a server.

    Raises:
        JournalError: the folder cannot be made, or the driver is not installed.
    """
    if url.get_backend_name() == "sqlite":
        _make_folder(url)
        engine = create_engine(url, connect_args={"timeout": wait_s})
        event.listen(engine, "connect", _prepare_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
        return engine
    limits = {
        "connect_timeout": max(2, round(wait_s)),
        "tcp_user_timeout": round(1000 * wait_s),  # a pulled cable; libpq leaves it out elsewhere
    }
    try:
        engine = create_engine(url, connect_args=limits, pool_pre_ping=True)
        event.listen(engine, "do_connect", _connects(_ANSWER * wait_s))
        return engine
    except ModuleNotFoundError as fault:
        raise JournalError(
            "PostgreSQL needs its driver; install the assistant again with its extra 'postgresql' "
            "(README, Quick start)."
        ) from fault


def _connects(answer_s: float) -> Callable[..., object]:
    from assistant.journal.answering import connected  # needs the driver

    def connect(_dialect: object, _record: object, given: list[Any], named: dict[str, Any]) -> Any:
        return connected(answer_s, *given, **named)

    return connect


def _make_folder(url: URL) -> None:
    if not url.database or url.database == ":memory:":
        return
    path = Path(url.database)
    folder = path.parent
    try:
        if path.exists() and not path.is_file():
            raise JournalError(
                f"{path} is not a file, so it cannot be a record store; name another place."
            )
        make_folder(folder)
    except OSError as fault:  # looking may be forbidden too
        raise JournalError(
            f"The folder {folder} cannot be made ({fault.strerror}); choose another place with "
            "ASSEMBLY_ASSISTANT_DATA or fix the folder's permissions."
        ) from fault


def _prepare_sqlite(connection: SqliteConnection, _record: object) -> None:
    # The driver must leave transactions to us: it would begin them too late.
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute("PRAGMA journal_mode = WAL")
    cursor.execute("PRAGMA synchronous = FULL")  # a commit returns only when it is on the disk
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    options = connection.get_execution_options()
    driver = connection.connection.dbapi_connection
    assert isinstance(driver, SqliteConnection)
    driver.text_factory = _any_bytes if options.get(ANY_BYTES, False) else str
    connection.exec_driver_sql("BEGIN IMMEDIATE" if options.get(WRITES, False) else "BEGIN")


def _any_bytes(raw: bytes) -> str:
    return raw.decode("utf-8", "surrogateescape")
