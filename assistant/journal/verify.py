"""Finds the first entry of a record that is not as it was written."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

from sqlalchemy import Row

from assistant.journal.chain import GENESIS, entry_hash

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


def first_bad(
    session: str, rows: Iterable[StoredRow], entries: int, last_hash: str
) -> BadEntry | None:
    """Check ``rows`` (all of a session, by ascending seq) link by link.

    ``entries`` and ``last_hash`` are what the table of sessions says of the record's end.
    """
    prev = GENESIS
    seq = 0
    for row in rows:
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
                "in, or one before it was taken out or written anew.",
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
        first = min(seq, entries + 1)
        return BadEntry(
            session,
            first,
            "altered",
            f"From entry {first} on, the record {session} is not the one that the list of "
            "sessions names.",
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
        row.session, row.seq, row.prev, row.kind, row.at, row.body, row.clip, row.engine
    )
