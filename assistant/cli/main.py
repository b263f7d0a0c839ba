"""The console command ``assembly-assistant``."""

from __future__ import annotations

import typer

from assistant import __version__
from assistant.cli import (
    bench_commands,
    fitting_command,
    hearing_bench,
    procedure_commands,
    record_commands,
    rehearse_command,
    work_commands,
)
from assistant.models.command import app as models

app = typer.Typer(
    name="assembly-assistant",
    help=(
        "Reads an assembly procedure aloud, listens for readings and commands, judges, reads back "
        "and records. The maker's current manual, local codes and licensed practice govern."
    ),
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"assembly-assistant {__version__}")
        raise typer.Exit


@app.callback()
def common(
    version: bool = typer.Option(
        False, "--version", callback=_version, is_eager=True, help="Say the version and leave."
    ),
) -> None:
    """Options before the command."""


work_commands.add_to(app)
procedure_commands.add_to(app)
rehearse_command.add_to(app)
record_commands.add_to(app)
bench_commands.add_to(app)
fitting_command.add_to(app)
hearing_bench.add_to(app)
app.add_typer(models, name="models")


def entry() -> None:
    """Run the console command; Ctrl-C leaves quietly, the record is already safe."""
    try:
        app()
    except KeyboardInterrupt:
        typer.echo("\nStopped. Everything heard so far is recorded; go on with 'resume'.", err=True)
        raise SystemExit(130) from None
