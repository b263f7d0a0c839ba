"""The command demo, in its own module: ``run`` and ``resume`` need not load what it imports."""

from __future__ import annotations

import typer

from assistant.cli.demo import DemoError, run_demo
from assistant.cli.errors import AskedError, plainly
from assistant.cli.hearing import HearingError
from assistant.cli.people import PeopleError
from assistant.cli.session_options import EngineName, StorePlace
from assistant.journal.types import JournalError
from assistant.procedure.faults import ProcedureFaults

app = typer.Typer()


@app.command("demo")
@plainly(AskedError, DemoError, HearingError, JournalError, PeopleError, ProcedureFaults, OSError)
def demo(
    engine: EngineName = "auto",
    keyboard: bool = typer.Option(
        False, "--keyboard", help="Take the same words typed instead of the recording."
    ),
    voice: str = typer.Option("silent", "--voice", help="Voice: silent, auto, or a folder."),
    store: StorePlace = None,
) -> None:
    """Run a whole session from a recording; fails unless the record is what was spoken."""
    if not run_demo(engine=engine, keyboard=keyboard, voice=voice, store=store):
        raise typer.Exit(1)
