"""Commands about build records: list, show, export, verify, seal."""

from __future__ import annotations

import typer

from assistant.cli.failing import plainly
from assistant.cli.workplace import AskedError, open_store
from assistant.journal.types import JournalError

app = typer.Typer()

STORE = typer.Option(None, "--store", help="Record store: a file, or a database URL.")


@app.command("records")
@plainly(JournalError)
def records(store: str | None = STORE) -> None:
    """List every session in the store, the newest first."""
    rows = open_store(store).journal.sessions()
    if not rows:
        typer.echo("Nothing has been recorded yet.")
    for row in rows:
        typer.echo(
            f"{row.session:44} {row.job:12} {row.procedure_id:24} "
            f"{row.opened_at[:16].replace('T', ' ')} to {row.last_at[:16].replace('T', ' ')} "
            f"{row.entries:6} entries"
        )


@app.command("verify")
@plainly(JournalError, AskedError)
def verify(
    session: str = typer.Argument(..., help="The session's name."),
    store: str | None = STORE,
) -> None:
    """Say whether a record has been altered, and name the first entry that was."""
    bad = open_store(store).journal.verify(session)
    if bad is not None:
        typer.echo(bad.sentence)
        raise typer.Exit(1)
    typer.echo(f"Record {session} is as it was written.")


def add_to(parent: typer.Typer) -> None:
    """Add these commands to the console command."""
    parent.registered_commands += app.registered_commands
