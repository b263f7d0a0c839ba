"""Finds the first entry of a record that is not as it was written."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

from sqlalchemy import Row

from assistant.journal.chain import GENESIS, HashedFields, entry_hash

StoredRow = Row[Any]
"""A row with the columns of ``entry_table``."""

Wrong = Literal["altered", "missing", "out of order", "cut short", "seal"]


@dataclass(frozen=True)
class BadEntry:
    """The first entry that is wrong: ``seq`` is its place, ``sentence`` says what is the matter."""

    session: str
    seq: int
    wrong: Wrong
    sentence: str


@dataclass(frozen=True)
class Listed:
    """A session's line in the table of sessions, which must say what its entries say."""

    job: str
    procedure_id: str
    opened_at: str
    last_at: str
    entries: int
    last_hash: str


def first_bad(session: str, rows: Iterable[StoredRow], listed: Listed) -> BadEntry | None:
    """Check ``rows`` (all of a session, by ascending seq) link by link, then its line in the list.

    The list stands outside the chain, so each of its fields is compared with the entries.
    """
    prev = GENESIS
    seq = 0
    entries, last_hash = listed.entries, listed.last_hash
    first = last = None
    for row in rows:
        first, last = first or row, row
        seq += 1
        if row.seq != seq:
            return _missing(session, seq)
        if not _own_hash_holds(row):
            return BadEntry(session, seq, "altered", f"Entry {seq} of {session} has been altered.")
        if row.prev != prev:
            return BadEntry(
                session,
                seq,
                "out of order",
                f"Entry {seq} of {session} does not follow the one before it: it was moved, put "
                "in, or one before it was taken out or rewritten.",
            )
        prev = row.hash
    if seq < entries:
        return BadEntry(
            session,
            seq + 1,
            "cut short",
            f"The record {session} is cut short: entry {seq + 1} and all after it, up to "
            f"{entries}, are missing.",
        )
    if seq > entries or prev != last_hash:
        other = min(seq, entries + 1)
        return BadEntry(
            session,
            other,
            "altered",
            f"From entry {other} on, the record {session} is not the one that the list of "
            "sessions names.",
        )
    if first is None or last is None:
        return None
    return _misnamed(session, seq, listed, first, last)


def _misnamed(
    session: str, seq: int, listed: Listed, first: StoredRow, last: StoredRow
) -> BadEntry | None:
    body = json.loads(first.body)
    for what, said, meant, entry in (
        ("job", listed.job, str(body.get("job", "")), 1),
        ("procedure", listed.procedure_id, str(body.get("procedure_id", "")), 1),
        ("time of opening", listed.opened_at, first.at, 1),
        ("time of the last entry", listed.last_at, last.at, seq),
    ):
        if said != meant:
            return BadEntry(
                session,
                entry,
                "altered",
                f"The list of sessions gives {session} another {what} than its entry {entry}: the "
                "list has been altered, the record itself has not.",
            )
    return None


def _missing(session: str, seq: int) -> BadEntry:
    return BadEntry(session, seq, "missing", f"Entry {seq} of {session} is missing.")


def _own_hash_holds(row: StoredRow) -> bool:
    texts = (row.session, row.kind, row.at, row.body, row.prev, row.hash)
    if not all(isinstance(text, str) for text in texts):
        return False
    if not all(text is None or isinstance(text, str) for text in (row.clip, row.engine)):
        return False
    try:
        body = json.loads(row.body)
    except ValueError:
        return False
    return isinstance(body, dict) and row.hash == entry_hash(
        HashedFields(
            row.session, row.seq, row.prev, row.kind, row.at, row.body, row.clip, row.engine
        )
    )
