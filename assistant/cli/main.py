"""The console command ``assembly-assistant``."""

from __future__ import annotations

import gc

import typer

from assistant.cli.lazy_group import LazyGroup
from assistant.cli.terminal import tell

app = typer.Typer(
    name="assembly-assistant",
    cls=LazyGroup,
    help=(
        "Reads an assembly procedure aloud, listens for readings and commands, judges, reads back "
        "and records. The maker's current manual, local codes and licensed practice govern."
    ),
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)


def _version(wanted: bool) -> None:
    if not wanted:
        return
    from importlib.metadata import PackageNotFoundError, version  # slow to import

    try:
        tell(f"assembly-assistant {version('assembly-assistant')}")
    except PackageNotFoundError:
        tell("assembly-assistant, a source folder that is not installed")
    raise typer.Exit


@app.callback()
def common(
    version: bool = typer.Option(
        False, "--version", callback=_version, is_eager=True, help="Print the version and exit."
    ),
) -> None:
    """Options before the command."""


def entry() -> None:
    """Run the console command; Ctrl-C leaves quietly, the record is already safe."""
    gc.disable()  # until the command is imported: LazyGroup switches it on again
    try:
        app()
    except KeyboardInterrupt:
        tell("\nStopped. Everything heard so far is recorded; continue with 'resume'.", err=True)
        raise SystemExit(130) from None
