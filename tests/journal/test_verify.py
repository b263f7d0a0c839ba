"""Every change in a stored record is found, and the first entry it touches is named."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from sqlalchemy import text

from assistant.journal.chain import HashedFields, canonical, entry_hash
from assistant.journal.store import SqlJournal
from tests.journal.drafts import SESSION, draft, opening

COLUMNS = ("session", "kind", "at", "body", "clip", "engine", "prev", "hash")


@pytest.fixture
def kept(journal: SqlJournal) -> SqlJournal:
    """A record of six entries."""
    journal.append(SESSION, [opening(), *(draft(n) for n in range(1, 6))], 0)
    return journal


def change(journal: SqlJournal, sql: str) -> None:
    """Alter the store behind the journal's back."""
    with journal._engine.begin() as connection:
        connection.execute(text(sql))


@pytest.mark.parametrize(
    ("sql", "seq", "wrong"),
    [
        ("UPDATE entry SET body = replace(body, 'ok', 'no') WHERE seq = 3", 3, "altered"),
        ("UPDATE entry SET at = '2026-01-05T08:00:01+00:00' WHERE seq = 2", 2, "altered"),
        ("UPDATE entry SET clip = 'c2' WHERE seq = 1", 1, "altered"),
        ("DELETE FROM entry WHERE seq = 4", 4, "missing"),
        ("DELETE FROM entry WHERE seq = 1", 1, "missing"),
        ("DELETE FROM entry WHERE seq >= 5", 5, "cut short"),
        ("DELETE FROM entry", 1, "cut short"),
        ("UPDATE session SET entries = 5", 6, "altered"),
        ("UPDATE session SET last_hash = 'x'", 6, "altered"),
        ("UPDATE entry SET session = 'other' WHERE seq = 3", 3, "missing"),
        ("UPDATE session SET job = 'KB2-8'", 1, "altered"),
        ("UPDATE session SET procedure_id = 'kb2_other'", 1, "altered"),
        ("UPDATE session SET opened_at = '2026-01-05T08:00:01+00:00'", 1, "altered"),
        ("UPDATE session SET last_at = '2026-01-06T08:00:00+00:00'", 6, "altered"),
    ],
)
def test_the_first_bad_entry_is_named(kept: SqlJournal, sql: str, seq: int, wrong: str) -> None:
    change(kept, sql)
    bad = kept.verify(SESSION)
    assert bad is not None
    assert (bad.session, bad.seq, bad.wrong) == (SESSION, seq, wrong)
    assert str(seq) in bad.sentence
    assert bad.sentence.endswith(".")


def test_two_entries_changing_places_are_found(kept: SqlJournal) -> None:
    for old, new in ((3, 99), (4, 3), (99, 4)):
        change(kept, f"UPDATE entry SET seq = {new} WHERE seq = {old}")
    bad = kept.verify(SESSION)
    assert bad is not None
    assert bad.seq == 3


def test_an_entry_taken_out_and_the_rest_moved_up_is_found(kept: SqlJournal) -> None:
    change(kept, "DELETE FROM entry WHERE seq = 3")
    for seq in (4, 5, 6):
        change(kept, f"UPDATE entry SET seq = {seq - 1} WHERE seq = {seq}")
    change(kept, "UPDATE session SET entries = 5")
    bad = kept.verify(SESSION)
    assert bad is not None
    assert bad.seq == 3


def test_an_entry_written_anew_with_its_hash_breaks_the_next_link(
    kept: SqlJournal, opened: Callable[[], SqlJournal]
) -> None:
    forged = opened()
    forged.append("forged", [opening(), *(draft(n + 50) for n in range(1, 6))], 0)
    change(kept, f"DELETE FROM entry WHERE session = '{SESSION}' AND seq > 3")
    change(kept, f"UPDATE entry SET session = '{SESSION}' WHERE session = 'forged' AND seq > 3")
    bad = kept.verify(SESSION)
    assert bad is not None
    assert bad.seq == 4


def test_an_entry_rewritten_with_its_own_hash_is_found_at_the_next(kept: SqlJournal) -> None:
    """Its own hash holds and every other entry is whole: only the link between the two breaks."""
    entry = list(kept.read(SESSION))[2]
    body = canonical({**entry.body, "number": 99})
    digest = entry_hash(
        HashedFields(SESSION, 3, entry.prev, entry.kind, entry.at, body, entry.clip, entry.engine)
    )
    with kept._engine.begin() as connection:
        connection.execute(
            text("UPDATE entry SET body = :body, hash = :digest WHERE seq = 3"),
            {"body": body, "digest": digest},
        )
    bad = kept.verify(SESSION)
    assert bad is not None
    assert (bad.seq, bad.wrong) == (4, "out of order")
    assert bad.sentence == (
        f"Entry 4 of {SESSION} does not follow the one before it: it was moved, put in, or one "
        "before it was taken out or rewritten."
    )


def test_every_single_bit_of_every_field_counts(tmp_path: Path) -> None:
    """Exhaustive on a small record: each bit of each stored text, and of seq, is turned once."""
    path = tmp_path / "records.db"
    journal = SqlJournal(path)
    journal.append(SESSION, [opening(), draft(1), draft(2)], 0)
    raw = sqlite3.connect(path, isolation_level=None)
    raw.execute("PRAGMA synchronous = OFF")
    turned = 0
    for seq in (1, 2, 3):
        for column in COLUMNS:
            for bits in _each_bit_turned(raw, seq, column):
                raw.execute(
                    f"UPDATE entry SET {column} = CAST(? AS TEXT) WHERE rowid = ?", (bits, seq)
                )
                turned += 1
                assert journal.verify(SESSION) is not None, (seq, column, bits)
        for bit in range(31):
            if seq ^ (1 << bit) not in (1, 2, 3):
                raw.execute("UPDATE entry SET seq = ? WHERE rowid = ?", (seq ^ (1 << bit), seq))
                turned += 1
                assert journal.verify(SESSION) is not None, (seq, bit)
        raw.execute("UPDATE entry SET seq = ? WHERE rowid = ?", (seq, seq))
    assert journal.verify(SESSION) is None
    assert turned > 5000  # some 240 bytes an entry
    raw.close()


def _each_bit_turned(raw: sqlite3.Connection, row: int, column: str) -> Iterator[bytes]:
    query = f"SELECT CAST({column} AS BLOB) FROM entry WHERE rowid = {row}"
    (stored,) = raw.execute(query).fetchone()
    if stored is None:
        return
    for position in range(len(stored) * 8):
        turned = bytearray(stored)
        turned[position // 8] ^= 1 << (position % 8)
        yield bytes(turned)
    raw.execute(f"UPDATE entry SET {column} = CAST(? AS TEXT) WHERE rowid = ?", (stored, row))
