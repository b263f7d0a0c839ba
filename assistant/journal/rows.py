"""Entries as rows of the tables, and the head of a session.

The head is the session's row: how many entries it has, and the hash of the last.
"""

from __future__ import annotations

from typing import Any

from pydantic_core import from_json
from sqlalchemy import Connection, Row, insert, select, update

from assistant.journal.chain import GENESIS
from assistant.journal.tables import entry_table, session_table
from assistant.journal.types import ConflictError, Entry, JournalError


def head_query(session: str, lock: bool = False) -> Any:
    """Selects the head of ``session``; ``lock``: no one else writes till the transaction ends."""
    columns = (session_table.c.entries, session_table.c.last_hash)
    query = select(*columns).where(session_table.c.session == session)
    return query.with_for_update() if lock else query  # SQLite has the whole file locked already


def hash_query(session: str, seq: int) -> Any:
    """Selects the hash of entry ``seq`` of ``session``."""
    return select(entry_table.c.hash).where(
        entry_table.c.session == session, entry_table.c.seq == seq
    )


def hash_at(connection: Connection, entry: Entry) -> str | None:
    """The hash that the store has in the place of ``entry``."""
    query = hash_query(entry.session, entry.seq)
    found: str | None = connection.execute(query).scalar_one_or_none()
    return found


def hash_to_follow(connection: Connection, session: str, expect_seq: int) -> str:
    """The hash that the entry after ``expect_seq`` follows.

    Raises:
        ConflictError: the session has not just ``expect_seq`` entries.
    """
    head = connection.execute(head_query(session, lock=True)).one_or_none()
    entries = 0 if head is None else head.entries
    if entries != expect_seq:
        raise ConflictError(
            f"Session {session} has {entries} entries where {expect_seq} were known here: "
            "another process records it; close that one and resume the session."
        )
    return GENESIS if head is None else str(head.last_hash)


def move_head(connection: Connection, entries: list[Entry]) -> None:
    """The head moves on to the last of ``entries``; the first entry of all opens the session."""
    first, last = entries[0], entries[-1]
    moved = {"last_at": last.at, "entries": last.seq, "last_hash": last.hash}
    if first.seq > 1:
        where = session_table.c.session == first.session
        connection.execute(update(session_table).where(where).values(moved))
        return
    opened = {
        "session": first.session,
        "job": str(first.body.get("job", "")),
        "procedure_id": str(first.body.get("procedure_id", "")),
        "opened_at": first.at,
    }
    connection.execute(insert(session_table), [{**opened, **moved}])


def row_of(entry: Entry, body_text: str) -> dict[str, Any]:
    """``entry`` as a row; ``body_text`` is its body as it was hashed."""
    return {
        "session": entry.session,
        "seq": entry.seq,
        "kind": entry.kind,
        "at": entry.at,
        "body": body_text,
        "clip": entry.clip,
        "engine": entry.engine,
        "prev": entry.prev,
        "hash": entry.hash,
    }


def entry_of(row: Row[Any]) -> Entry:
    """A row as the entry that it keeps.

    Raises:
        JournalError: its body is damaged.
    """
    values: tuple[Any, ...] = tuple(row)
    session, seq, kind, at, text, clip, engine, prev, digest = values
    try:
        body = from_json(text)  # several times as quick as the standard library
    except (TypeError, ValueError) as fault:
        raise JournalError(
            f"Entry {seq} of {session} is damaged; verify the record and restore a copy."
        ) from fault
    return Entry(kind, at, body, clip, engine, session, seq, prev, digest)
