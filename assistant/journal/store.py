"""The journal in an SQL database: SQLite by default, PostgreSQL for a shop with several benches."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import fields
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Row, insert, select
from sqlalchemy.exc import IntegrityError, SQLAlchemyError

from assistant.journal.chain import link
from assistant.journal.location import ANY_BYTES, WRITES, connect, default_location, store_url
from assistant.journal.migrate import NEWEST, bring_up_to_date, version
from assistant.journal.rows import (
    entry_of,
    hash_at,
    hash_query,
    hash_to_follow,
    head_query,
    move_head,
    row_of,
)
from assistant.journal.seal import Seal, broken_seal
from assistant.journal.store_errors import explain
from assistant.journal.tables import entry_table, seal_table, session_table
from assistant.journal.types import ConflictError, Draft, Entry, JournalError, SessionRow
from assistant.journal.verify import BadEntry, Listed, first_bad

__all__ = ["SqlJournal", "default_location"]

_PAGE = 2000  # entries fetched at a time: bounds memory, and no transaction stays open between


class SqlJournal:
    """An append-only, hash-chained store of sessions.

    Args:
        url_or_path: a file (SQLite) or a database URL (``postgresql://user@host/name``).
        wait_s: how long to wait for another program's lock, or for the server, in seconds.

    Raises:
        JournalError: the store cannot be opened or brought up to date.
    """

    def __init__(self, url_or_path: str | Path, wait_s: float = 5.0) -> None:
        self._url = store_url(url_or_path)
        self._engine = connect(self._url, wait_s)
        with self._transaction(writes=False) as connection:
            present = version(connection)
        if present != NEWEST:
            with self._transaction() as connection:
                bring_up_to_date(connection)

    def append(self, session: str, drafts: Sequence[Draft], expect_seq: int) -> list[Entry]:
        """Append ``drafts`` in one durable transaction.

        ``expect_seq`` is the last sequence number that the caller knows (0 for a new session).

        Raises:
            JournalError: the store failed, or another process has appended meanwhile; nothing
                of this call is stored. (Where a server is lost while it commits nobody can know
                whether it did: then the next append is refused until the session is resumed.)
        """
        if not drafts:
            return []
        with self._transaction() as connection:
            prev = hash_to_follow(connection, session, expect_seq)
            linked: list[tuple[Entry, str]] = []
            for seq, draft in enumerate(drafts, expect_seq + 1):
                linked.append(link(session, seq, prev, draft))
                prev = linked[-1][0].hash
            move_head(connection, [entry for entry, _ in linked])
            connection.execute(insert(entry_table), [row_of(e, body) for e, body in linked])
        return [entry for entry, _ in linked]

    def adopt(self, entries: Sequence[Entry]) -> None:
        """Store entries of one session that another store has made, as they are, in one go.

        Those that are here already are passed over, so that sending twice does no harm.

        Raises:
            ConflictError: the session here has another entry in their place, or a gap would come.
            JournalError: the store failed; nothing of this call is stored.
        """
        if not entries:
            return
        first = entries[0]
        with self._transaction() as connection:
            head = connection.execute(head_query(first.session, lock=True)).one_or_none()
            have = 0 if head is None else head.entries
            overlap = [entry for entry in entries if entry.seq <= have]
            if overlap and hash_at(connection, overlap[-1]) != overlap[-1].hash:
                raise ConflictError(
                    f"Entry {overlap[-1].seq} of {first.session} differs between the two stores: "
                    "it was recorded in two places; verify both and keep the right one."
                )
            new = list(entries[len(overlap) :])
            if not new:
                return
            prev = hash_to_follow(connection, first.session, new[0].seq - 1)
            rows = []
            for entry in new:
                linked, body_text = link(entry.session, entry.seq, prev, entry)
                if linked.hash != entry.hash:
                    raise ConflictError(
                        f"Entry {entry.seq} of {entry.session} does not follow the one before "
                        "it; verify both stores and keep the right one."
                    )
                rows.append(row_of(entry, body_text))
                prev = entry.hash
            move_head(connection, new)
            connection.execute(insert(entry_table), rows)

    def entries_of(self, session: str) -> int:
        """How many entries ``session`` has here; 0 when there is no such session."""
        with self._transaction(writes=False) as connection:
            head = connection.execute(head_query(session)).one_or_none()
        return 0 if head is None else int(head.entries)

    def read(self, session: str, after: int = 0) -> Iterator[Entry]:
        """Yield the entries of ``session`` in order, those after entry ``after``.

        Raises:
            JournalError: there is no such session, the store fails, or an entry is unreadable.
        """
        found = False
        for row in self._rows(session, after):
            found = True
            yield entry_of(row)
        if not found and not (after and self.entries_of(session)):
            raise JournalError(
                f"There is no session '{session}'; 'assembly-assistant records' lists all."
            )

    def sessions(self) -> list[SessionRow]:
        """All sessions, the one opened last first (by order of opening: clocks may be wrong)."""
        query = select(session_table).order_by(session_table.c.number.desc())
        with self._transaction(writes=False) as connection:
            rows = connection.execute(query).all()
        return [
            SessionRow(r.session, r.job, r.procedure_id, r.opened_at, r.last_at, r.entries)
            for r in rows
        ]

    def verify(self, session: str) -> BadEntry | None:
        """The first entry altered, removed or reordered, or whose seal is broken; None if sound.

        Raises:
            JournalError: there is no such session, or the store cannot be read at all.
        """
        columns = [session_table.c[field.name] for field in fields(Listed)]
        query = select(*columns).where(session_table.c.session == session)
        with self._transaction(writes=False, any_bytes=True) as connection:
            head = connection.execute(query).one_or_none()
        if head is None:
            raise JournalError(
                f"There is no session '{session}'; 'assembly-assistant records' lists all."
            )
        bad = first_bad(session, self._rows(session, any_bytes=True), Listed(*head))
        if bad is not None:
            return bad
        for seal in self.seals(session):
            bad = broken_seal(seal, self._hash_of(session, seal.entries))
            if bad is not None:
                return bad
        return None

    def keep_seal(self, seal: Seal) -> None:
        """Store ``seal`` beside the record that it covers.

        Raises:
            JournalError: the store failed, or the record is sealed at this entry already.
        """
        row = {
            "session": seal.session,
            "entries": seal.entries,
            "document": seal.model_dump_json(),
        }
        same = (seal_table.c.session == seal.session, seal_table.c.entries == seal.entries)
        with self._transaction() as connection:
            if connection.execute(select(seal_table.c.entries).where(*same)).first() is not None:
                raise JournalError(
                    f"The record {seal.session} is sealed at entry {seal.entries} already; that "
                    "seal stays."
                )
            connection.execute(insert(seal_table), [row])

    def seals(self, session: str) -> list[Seal]:
        """The seals of ``session``, oldest first."""
        query = (
            select(seal_table.c.document)
            .where(seal_table.c.session == session)
            .order_by(seal_table.c.entries)
        )
        with self._transaction(writes=False) as connection:
            documents = connection.execute(query).scalars().all()
        return [Seal.parse(document) for document in documents]

    def close(self) -> None:
        """Close the database."""
        self._engine.dispose()

    def _hash_of(self, session: str, seq: int) -> str | None:
        with self._transaction(writes=False) as connection:
            return connection.execute(hash_query(session, seq)).scalar_one_or_none()

    def _rows(
        self, session: str, first_after: int | None = None, any_bytes: bool = False
    ) -> Iterator[Row[Any]]:
        after = first_after  # None takes in even numbers below one, which verify must see
        while True:
            query = select(entry_table).where(entry_table.c.session == session)
            if after is not None:
                query = query.where(entry_table.c.seq > after)
            query = query.order_by(entry_table.c.seq).limit(_PAGE)
            with self._transaction(writes=False, any_bytes=any_bytes) as connection:
                rows = connection.execute(query).all()
            yield from rows
            if len(rows) < _PAGE:
                return
            after = rows[-1].seq

    @contextmanager
    def _transaction(self, writes: bool = True, any_bytes: bool = False) -> Iterator[Connection]:
        options = {WRITES: writes, ANY_BYTES: any_bytes}
        try:
            with (
                self._engine.connect().execution_options(**options) as connection,
                connection.begin(),
            ):
                yield connection
        except IntegrityError as fault:
            raise ConflictError(
                "Another process has recorded the same entry first; close it and resume the "
                "session."
            ) from fault
        except SQLAlchemyError as fault:
            raise explain(fault, self._url) from fault
