"""What a store keeps, and what it refuses."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from assistant.journal.store import SqlJournal
from assistant.journal.types import Draft, JournalError
from tests.journal.drafts import AT, SESSION, draft, opening


def test_what_is_appended_is_read_back(
    journal: SqlJournal, opened: Callable[[], SqlJournal]
) -> None:
    first = journal.append(SESSION, [opening(), draft(1)], 0)
    second = journal.append(SESSION, [draft(2)], 2)
    again = list(opened().read(SESSION))
    assert again == first + second
    assert [e.seq for e in again] == [1, 2, 3]
    assert again[1].body == draft(1).body
    assert again[1].prev == again[0].hash
    assert journal.verify(SESSION) is None


def test_sessions_are_listed_by_opening_even_when_the_clock_was_set_back(
    journal: SqlJournal,
) -> None:
    journal.append("b", [opening("first")], 0)
    journal.append("a", [Draft("event", "2020-01-01T00:00:00+00:00", opening("second").body)], 0)
    journal.append("b", [draft(1, "2019-01-01T00:00:00+00:00")], 1)
    rows = journal.sessions()
    assert [(r.session, r.job, r.entries) for r in rows] == [("a", "second", 1), ("b", "first", 2)]
    assert rows[1].opened_at == AT
    assert rows[1].last_at == "2019-01-01T00:00:00+00:00"
    assert [r.procedure_id for r in rows] == ["kb2_cap", "kb2_cap"]
    assert journal.verify("b") is None


def test_a_second_process_on_the_session_is_refused(
    journal: SqlJournal, opened: Callable[[], SqlJournal]
) -> None:
    journal.append(SESSION, [opening()], 0)
    other = opened()
    other.append(SESSION, [draft(1)], 1)
    with pytest.raises(JournalError, match="another process"):
        journal.append(SESSION, [draft(2)], 1)
    with pytest.raises(JournalError, match="another process"):
        journal.append(SESSION, [opening()], 0)
    assert len(list(journal.read(SESSION))) == 2
    assert journal.append(SESSION, [draft(2)], 2)[0].seq == 3
    assert journal.verify(SESSION) is None


def test_an_expected_entry_that_never_was_is_refused(journal: SqlJournal) -> None:
    with pytest.raises(JournalError, match="0 entries where 5"):
        journal.append(SESSION, [draft(1)], 5)


def test_a_session_that_is_not_there(journal: SqlJournal) -> None:
    with pytest.raises(JournalError, match="There is no session 'nowhere'"):
        list(journal.read("nowhere"))
    with pytest.raises(JournalError, match="There is no session 'nowhere'"):
        journal.verify("nowhere")


def test_nothing_to_append_stores_nothing(journal: SqlJournal) -> None:
    assert journal.append(SESSION, [], 0) == []
    assert journal.sessions() == []


@pytest.mark.parametrize("value", [float("nan"), "\ud800", {1, 2}, 2**60])
def test_what_json_cannot_carry_is_refused_and_nothing_stored(
    journal: SqlJournal, value: object
) -> None:
    with pytest.raises(JournalError, match="JSON"):
        journal.append(SESSION, [opening(), Draft("fact", AT, {"bad": value})], 0)
    assert journal.sessions() == []


def test_long_sessions_are_read_in_pages(journal: SqlJournal) -> None:
    journal.append(SESSION, [opening(), *(draft(n) for n in range(4500))], 0)
    numbers = [e.body.get("number") for e in journal.read(SESSION)]
    assert numbers == [None, *range(4500)]
    assert journal.verify(SESSION) is None


def test_reading_does_not_hold_up_writing(
    journal: SqlJournal, opened: Callable[[], SqlJournal]
) -> None:
    journal.append(SESSION, [opening(), draft(1)], 0)
    reader = opened().read(SESSION)
    next(reader)
    journal.append(SESSION, [draft(2)], 2)
    assert journal.verify(SESSION) is None
