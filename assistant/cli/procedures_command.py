"""The command that lists the procedures; alone, so that a list waits for nothing else."""

from __future__ import annotations

import typer

from assistant.cli.terminal import tell_table
from assistant.procedure.files import find_procedures
from assistant.procedure.remembered import RememberedList

app = typer.Typer()


@app.command("procedures")
def procedures() -> None:
    """List the procedures found: shipped ones and the workshop's own."""
    rows = []
    with RememberedList() as known:
        for path in find_procedures():
            found = known.heading(path)
            if found is None:
                rows.append((path.stem, "faulty", f"run 'assembly-assistant check {path}'"))
            else:
                rows.append((path.stem, f"revision {found[0]}", found[1]))
    tell_table(("Procedure", "Revision", "Title"), rows)
