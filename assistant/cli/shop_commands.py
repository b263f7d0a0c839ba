"""Commands for a store that several benches share: rights."""

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
