"""The command that lists the procedures; alone, so that a list waits for nothing else."""

from __future__ import annotations

import typer

from assistant.cli.terminal import tell_table
from assistant.procedure.faults import ProcedureFaults
from assistant.procedure.loader import find_procedures, load_procedure

app = typer.Typer()


@app.command("procedures")
def procedures() -> None:
    """List the procedures found: shipped ones and the workshop's own."""
    rows = []
    for path in find_procedures():
        try:
            found = load_procedure(path)
        except ProcedureFaults:
            rows.append((path.stem, "faulty", f"run 'assembly-assistant check {path}'"))
        else:
            rows.append((path.stem, f"revision {found.revision}", found.title))
    tell_table(("Procedure", "Revision", "Title"), rows)
