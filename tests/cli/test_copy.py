"""copy: a session reaches another store whole, or the reason why not is said."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from assistant.cli.main import app
from assistant.journal.store import SqlJournal
from tests.journal.drafts import SESSION, draft, opening
from tests.journal.shelf import Shelf, shelf_in


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    return shelf_in(tmp_path)


def copy(shelf: Shelf, to: Path, session: str = SESSION) -> Result:
    arguments = ["copy", session, "--store", shelf.store, "--to", str(to / "records.db")]
    return CliRunner().invoke(app, arguments)


def test_it_arrives_whole_and_twice_does_no_harm(shelf: Shelf, tmp_path: Path) -> None:
    there = tmp_path / "there"
    for _ in range(2):
        done = copy(shelf, there)
        assert done.exit_code == 0, done.output
        assert "3 entries" in done.output
    shelf.arrived_whole(there)


def test_a_session_that_went_on_is_sent_on(shelf: Shelf, tmp_path: Path) -> None:
    there = tmp_path / "there"
    assert copy(shelf, there).exit_code == 0
    SqlJournal(shelf.store).append(SESSION, [draft(2)], 3)
    assert "4 entries" in copy(shelf, there).output
    assert SqlJournal(there / "records.db").entries_of(SESSION) == 4


@pytest.mark.parametrize("what", ["clip", "picture"])
def test_an_altered_file_is_not_copied(shelf: Shelf, tmp_path: Path, what: str) -> None:
    file: Path = getattr(shelf, what)
    file.write_bytes(file.read_bytes() + b"x")
    refused = copy(shelf, tmp_path / "there")
    assert refused.exit_code == 2
    assert "altered" in refused.output
    assert "is not copied" in refused.output
    assert SqlJournal(tmp_path / "there" / "records.db").sessions() == []


def test_an_altered_entry_is_not_copied(shelf: Shelf, tmp_path: Path) -> None:
    journal = SqlJournal(shelf.store)
    with journal._engine.begin() as connection:
        connection.exec_driver_sql("UPDATE entry SET at = '2026-01-06' WHERE seq = 2")
    refused = copy(shelf, tmp_path / "there")
    assert refused.exit_code == 2
    assert "is not copied" in refused.output
    assert SqlJournal(tmp_path / "there" / "records.db").sessions() == []


def test_an_archived_sound_is_counted(shelf: Shelf, tmp_path: Path) -> None:
    shelf.clip.unlink()
    done = copy(shelf, tmp_path / "there")
    assert done.exit_code == 0, done.output
    assert "not here to copy: 1" in done.output


def test_a_damaged_file_over_there_is_said(shelf: Shelf, tmp_path: Path) -> None:
    there = tmp_path / "there"
    (there / "clips").mkdir(parents=True)
    (there / "clips" / shelf.clip.name).write_bytes(b"something else")
    refused = copy(shelf, there)
    assert refused.exit_code == 2
    assert "arrived damaged" in refused.output


def test_another_session_of_that_name_stays(shelf: Shelf, tmp_path: Path) -> None:
    other = SqlJournal(tmp_path / "there" / "records.db")
    kept = other.append(SESSION, [opening("KB2-8"), draft(9)], 0)
    refused = copy(shelf, tmp_path / "there")
    assert refused.exit_code == 2
    assert "differs between the two stores" in refused.output
    assert list(other.read(SESSION)) == kept
    assert "no session 'nowhere'" in copy(shelf, tmp_path / "there", "nowhere").output
