"""Commands about stores: the rights of benches in a shared one, a record moved to another."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import typer

from assistant.cli.errors import AskedError, plainly
from assistant.cli.terminal import is_line, tell
from assistant.journal.types import JournalError
from assistant.report.export_file import ExportError, target_of

if TYPE_CHECKING:
    from assistant.report.copied import Copied, RecordPlace

app = typer.Typer()
STORE = typer.Option(None, "--store", help="Record store: a file, or a database URL.")


@app.command("rights")
@plainly(JournalError, AskedError)
def rights(
    store: str | None = typer.Option(
        None, "--store", help="The database's URL, with the user who owns it."
    ),
    show: bool = typer.Option(False, "--show", help="Print the SQL and change nothing."),
) -> None:
    """Let benches add to a shared PostgreSQL store, and neither alter nor delete."""
    from assistant.journal.rights import BENCH_ROLE, rights_sql, set_rights

    if show:
        tell(rights_sql().rstrip())
        return
    if store is None:
        raise AskedError("Name the store: --store postgresql://keeper@host/database.")
    set_rights(store)
    tell(f"Members of the role {BENCH_ROLE} may add to this store, and alter or delete nothing.")


@app.command("copy")
@plainly(JournalError, AskedError, OSError)
def copy(
    session: str = typer.Argument(..., help="The session's name."),
    to: str = typer.Option(..., "--to", help="The other store: a file, or a database URL."),
    store: str | None = STORE,
) -> None:
    """Copy a session with its sounds, pictures and seals to another store, and verify it."""
    from assistant.report.copied import copy_session

    done = copy_session(session, _place(store), _place(to))
    tell(f"Copied and verified there: {session}, {done.entries} entries.")
    _tell_away(done)


@app.command("export")
@plainly(JournalError, AskedError, ExportError, OSError)
def export(
    session: str = typer.Argument(..., help="The session's name."),
    to: Path = typer.Option(..., "--to", help="The file, or the folder to make it in."),
    store: str | None = STORE,
) -> None:
    """Write a session with its sounds, pictures and seals to one file, for a stick."""
    from assistant.cli.workplace import open_store
    from assistant.report.carried_file import write_carried

    file = to / (f"{session}.zip" if is_line(session) else "record.zip") if to.is_dir() else to
    target = target_of(file, "carried", open_store(store).own)
    done = write_carried(session, _place(store), target)
    tell(f"Written: {file}, {done.entries} entries, {target.stat().st_size / 1e6:.1f} MB.")
    _tell_away(done)
    tell(f"Add it to another store with: assembly-assistant import {file.name}")


@app.command("import")
@plainly(JournalError, AskedError, OSError)
def import_(
    file: Path = typer.Argument(..., help="The file that 'export' made."),
    store: str | None = STORE,
) -> None:
    """Add the session in a file made by 'export'; refused if anything was changed."""
    from assistant.report.carried_reading import read_carried

    session, done = read_carried(file, _place(store))
    tell(f"Added and verified: {session}, {done.entries} entries.")
    _tell_away(done, "in the file")


def _place(where: str | None) -> RecordPlace:
    from assistant.cli.workplace import open_store
    from assistant.journal.store import SqlJournal
    from assistant.report.copied import RecordPlace

    kept = open_store(where)
    # The server itself: a copy that waits at this bench would not be a copy there.
    journal = kept.journal if isinstance(kept.journal, SqlJournal) else SqlJournal(kept.where)
    return RecordPlace(kept.clips, kept.pictures, journal)


def _tell_away(done: Copied, where: str = "here to copy") -> None:
    if done.sounds_away:
        tell(f"Sounds that were not {where}: {done.sounds_away}.")
