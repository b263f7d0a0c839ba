"""What the store says when something is wrong, whole: where, why, and what to do."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import URL, make_url
from sqlalchemy.exc import OperationalError, SQLAlchemyError

from assistant.journal.known_key import first_key
from assistant.journal.outside import Head, read_head, read_key
from assistant.journal.seal import FIRST_KEY_FILE, fingerprint, seal_record, signing_key
from assistant.journal.store import SqlJournal
from assistant.journal.store_errors import explain
from assistant.journal.types import ConflictError, Draft, JournalError
from tests.journal.drafts import AT, SESSION, draft, opening

SQLITE = make_url("sqlite:////srv/records.db")
SERVER = URL.create("postgresql", "bench", "secret", "shop", 5432, "records")
HERE = URL.create("postgresql", "bench", database="records")


# What SQLite says is from its result codes (sqlite.org/rescode.html); what PostgreSQL says was read
# off libpq and a server, version 15.
@pytest.mark.parametrize(
    ("url", "said", "told"),
    [
        (SQLITE, "database or disk is full", "Nothing was recorded: there is no room left at the "
         "file /srv/records.db; make room and go on."),
        (SQLITE, "attempt to write a readonly database", "Nothing was recorded: the file "
         "/srv/records.db may not be written to; fix its permissions or choose another place."),
        (SQLITE, "unable to open database file", "Nothing was recorded: the file /srv/records.db "
         "cannot be opened or made; check that the folder exists and may be written to."),
        (SQLITE, "database is locked", "Nothing was recorded: another program holds the file "
         "/srv/records.db; close it and go on."),
        (SQLITE, "file is not a database", "Nothing was recorded: the file /srv/records.db is not "
         "a record store; name another file and leave this one alone."),
        (SQLITE, "database disk image is malformed", "Nothing was recorded: the file "
         "/srv/records.db is damaged; put it aside, restore the last copy, and run verify on it."),
        (SQLITE, "disk I/O error", "Nothing was recorded: the disk that holds the file "
         "/srv/records.db reports an error; put a copy aside and change the disk."),
        (SERVER, 'FATAL:  password authentication failed for user "bench"', "Nothing was recorded: "
         "the database records on shop does not let this user in; check user and password."),
        (SERVER, "permission denied for table entry", "Nothing was recorded: the database records "
         "on shop does not give this user the right; ask the keeper of the store to run "
         "'assembly-assistant rights'."),
        (SERVER, 'FATAL:  database "records" does not exist', "Nothing was recorded: the database "
         "records on shop or a table in it does not exist; make the database and go on."),
        (HERE, "connection to server failed\\nIs it running?", "Nothing was recorded: the database "
         "records on this machine cannot be reached; check that the server runs and the cable is "
         "in."),
        (SERVER, "deadlock detected\\nDETAIL: 1", "Nothing was recorded: the database records on "
         "shop answered 'deadlock detected'; fix that and continue."),
    ],
)  # fmt: skip
def test_what_a_database_says_is_told_with_its_place_and_a_remedy(
    url: URL, said: str, told: str
) -> None:
    fault = OperationalError("SELECT", {}, Exception(said.replace("\\n", "\n")))
    assert str(explain(fault, url)) == told
    assert "secret" not in told


def test_a_fault_without_words_is_told_by_its_kind() -> None:
    told = str(explain(SQLAlchemyError(""), SQLITE))
    assert told == (
        "Nothing was recorded: the file /srv/records.db answered 'SQLAlchemyError'; fix that and "
        "continue."
    )


def kept(place: Path) -> SqlJournal:
    journal = SqlJournal(place)
    journal.append(SESSION, [opening(), *(draft(n) for n in range(1, 6))], 0)
    return journal


WRONG = [
    ("UPDATE entry SET at = '2026' WHERE seq = 2", f"Entry 2 of {SESSION} has been altered."),
    ("UPDATE entry SET body = CAST(x'ff' AS TEXT) WHERE seq = 2",
     f"Entry 2 of {SESSION} has been altered."),
    ("UPDATE entry SET kind = CAST(x'ff' AS TEXT) WHERE seq = 2",
     f"Entry 2 of {SESSION} has been altered."),
    ("UPDATE entry SET clip = CAST(x'ff' AS TEXT) WHERE seq = 2",
     f"Entry 2 of {SESSION} has been altered."),
    ("UPDATE entry SET body = '[]' WHERE seq = 2", f"Entry 2 of {SESSION} has been altered."),
    ("UPDATE entry SET body = '{' WHERE seq = 2", f"Entry 2 of {SESSION} has been altered."),
    ("DELETE FROM entry WHERE seq = 4", f"Entry 4 of {SESSION} is missing."),
    ("DELETE FROM entry WHERE seq >= 5", f"The record {SESSION} is cut short: entry 5 and all "
     "after it, up to 6, are missing."),
    ("UPDATE session SET entries = 5", f"From entry 6 on, the record {SESSION} is not the one that "
     "the list of sessions names."),
    ("UPDATE session SET last_hash = 'x'", f"From entry 6 on, the record {SESSION} is not the one "
     "that the list of sessions names."),
    ("UPDATE session SET job = 'KB2-8'", f"The list of sessions gives {SESSION} another job than "
     "its entry 1: the list has been altered, the record itself has not."),
    ("UPDATE session SET job = CAST(x'ff' AS TEXT)", f"The list of sessions gives {SESSION} "
     "another job than its entry 1: the list has been altered, the record itself has not."),
    ("UPDATE session SET procedure_id = 'x'", f"The list of sessions gives {SESSION} another "
     "procedure than its entry 1: the list has been altered, the record itself has not."),
    ("UPDATE session SET opened_at = 'x'", f"The list of sessions gives {SESSION} another time of "
     "opening than its entry 1: the list has been altered, the record itself has not."),
    ("UPDATE session SET last_at = 'x'", f"The list of sessions gives {SESSION} another time of "
     "the last entry than its entry 6: the list has been altered, the record itself has not."),
]  # fmt: skip


@pytest.mark.parametrize(("sql", "told"), WRONG)
def test_what_is_wrong_with_a_record_is_told(tmp_path: Path, sql: str, told: str) -> None:
    journal = kept(tmp_path / "records.db")
    assert journal.verify(SESSION) is None
    with journal._engine.begin() as connection:
        connection.exec_driver_sql(sql)
    bad = journal.verify(SESSION)
    assert bad is not None
    assert (bad.session, bad.sentence) == (SESSION, told)


def test_a_session_opened_without_job_and_procedure_is_sound(tmp_path: Path) -> None:
    journal = SqlJournal(tmp_path / "records.db")
    journal.append(SESSION, [Draft("event", AT, {"kind": "opened"})], 0)
    assert journal.verify(SESSION) is None
    (row,) = journal.sessions()
    assert (row.job, row.procedure_id) == ("", "")


def test_reading_on_past_the_end_is_no_fault_but_an_unknown_session_is(tmp_path: Path) -> None:
    journal = kept(tmp_path / "records.db")
    assert list(journal.read(SESSION, 6)) == []
    assert [e.seq for e in journal.read(SESSION, 4)] == [5, 6]
    for after in (0, 6):
        with pytest.raises(JournalError) as fault:
            list(journal.read("kb2-9", after))
        assert str(fault.value) == (
            "There is no session 'kb2-9'; 'assembly-assistant records' lists all."
        )


def test_entries_of_another_store_that_do_not_fit_are_told(tmp_path: Path) -> None:
    one, other = kept(tmp_path / "one.db"), SqlJournal(tmp_path / "other.db")
    other.append(SESSION, [opening(), draft(99)], 0)
    entries = list(one.read(SESSION))
    with pytest.raises(ConflictError) as fault:
        other.adopt(entries)
    assert str(fault.value) == (
        f"Entry 2 of {SESSION} differs between the two stores: it was recorded in two places; "
        "verify both and keep the right one."
    )
    with pytest.raises(ConflictError) as fault:
        other.adopt(entries[2:])
    assert str(fault.value) == (
        f"Entry 3 of {SESSION} does not follow the one before it; verify both stores and keep the "
        "right one."
    )
    with pytest.raises(ConflictError, match="2 entries where 3 were known"):
        other.adopt(entries[3:])


def test_seals_come_in_the_order_of_their_entries(tmp_path: Path) -> None:
    journal, key = kept(tmp_path / "records.db"), signing_key(tmp_path)
    entries = list(journal.read(SESSION))
    seals = [seal_record(SESSION, n, entries[n - 1].hash, AT, key) for n in (6, 2, 4)]
    for seal in seals:
        journal.keep_seal(seal)
    assert [s.entries for s in journal.seals(SESSION)] == [2, 4, 6]
    with pytest.raises(JournalError) as fault:
        journal.keep_seal(seals[0])
    assert str(fault.value) == (
        f"The record {SESSION} is sealed at entry 6 already; that seal stays."
    )


def test_a_head_or_key_that_is_none_is_told(tmp_path: Path) -> None:
    digest = "ab" * 32
    assert read_head(f" 12 : {digest.upper()} ") == Head(12, digest)
    assert read_key("ABCD" * 8) == " ".join(["abcd"] * 8)
    assert read_key(digest) == fingerprint(digest)
    away = tmp_path / "away"
    for ask, kind in ((read_head, "ENTRIES:HASH"), (read_key, "a fingerprint of 32 digits")):
        with pytest.raises(JournalError) as fault:
            ask(str(away))
        assert str(fault.value) == (
            f"{str(away)[:100]!r} is neither {kind} nor the file of a seal "
            "(No such file or directory)."
        )
        with pytest.raises(JournalError) as fault:
            ask("x\0" + "y" * 200)
        assert str(fault.value) == (
            f"{('x' + chr(0) + 'y' * 200)[:100]!r} is neither {kind} nor the file of a seal "
            "(it is not a file name)."
        )
        away.write_text("{}")
        with pytest.raises(JournalError) as fault:
            ask(str(away))
        assert str(fault.value) == f"{away} holds no seal; give {kind} or a seal's file."
        away.unlink()


def test_a_first_key_that_cannot_be_used_is_told(tmp_path: Path) -> None:
    path = tmp_path / FIRST_KEY_FILE
    path.mkdir()
    with pytest.raises(JournalError) as fault:
        first_key(tmp_path, "ab" * 32, AT)
    assert (
        str(fault.value)
        == f"{path} cannot be used (it is a folder, not a file); fix its permissions."
    )
    path.rmdir()
    path.write_text("{}")
    with pytest.raises(JournalError) as fault:
        first_key(tmp_path, "ab" * 32, AT)
    assert str(fault.value) == (
        f"{path} is damaged; check the fingerprints of your seals by a copy that was put away, "
        "then remove it."
    )
    path.unlink()
    found = first_key(tmp_path, "ab" * 32, AT)
    assert (found.fingerprint, found.seen_at) == (fingerprint("ab" * 32), AT)
    assert first_key(tmp_path, "cd" * 32, "later") == found
