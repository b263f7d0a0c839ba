"""Commands about stores: the rights of benches in a shared one, a record copied to another."""

from __future__ import annotations

import typer

from assistant.cli.errors import AskedError, plainly
from assistant.cli.terminal import tell
from assistant.journal.types import JournalError

app = typer.Typer()


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
    store: str | None = typer.Option(
        None, "--store", help="Record store: a file, or a database URL."
    ),
) -> None:
    """Copy a session with its sounds, pictures and seals to another store, and verify it."""
    from assistant.cli.workplace import open_store
    from assistant.journal.store import SqlJournal
    from assistant.report.copied import RecordPlace, copy_session

    places = []
    for where in (store, to):
        kept = open_store(where)
        # The server itself: a copy that waits at this bench would not be a copy there.
        journal = kept.journal if isinstance(kept.journal, SqlJournal) else SqlJournal(kept.where)
        places.append(RecordPlace(journal, kept.clips, kept.pictures))
    done = copy_session(session, *places)
    tell(f"Copied and verified there: {session}, {done.entries} entries.")
    if done.sounds_away:
        tell(f"Sounds that were not here to copy: {done.sounds_away}.")
