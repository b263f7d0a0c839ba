"""The command that lists the procedures; alone, so that a list waits for nothing else."""

from __future__ import annotations

import typer

from assistant.cli.terminal import tell
from assistant.procedure.faults import ProcedureFaults
from assistant.procedure.loader import find_procedures, load_procedure

app = typer.Typer()


@app.command("procedures")
def procedures() -> None:
    """List the procedures found: shipped ones and the workshop's own."""
    for path in find_procedures():
        try:
            found = load_procedure(path)
        except ProcedureFaults:
            tell(f"{path.stem:28} faulty: run 'assembly-assistant check {path}'")
            continue
        tell(f"{path.stem:28} revision {found.revision:4} {found.title}")
