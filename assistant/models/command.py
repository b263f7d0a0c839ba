"""The commands that list, fetch and bring in speech models."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated, NoReturn

import typer

from assistant.models.catalogue import catalogue, known
from assistant.models.errors import ModelError
from assistant.models.installing import SOURCES, bring, install
from assistant.models.places import installed, models_folder

app = typer.Typer(
    name="models",
    help="Speech models that do not come in the package: list, fetch, bring in from a file.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)


@app.command("list")
def list_models() -> None:
    """List the known models, their licences and sizes, and whether each is installed."""
    typer.echo(f"Models lie in {models_folder()}.")
    for model in catalogue().values():
        there = "installed" if installed(model) else "not installed"
        size = f"{model.size / 1e6:.0f} MB"
        typer.echo(f"{model.name}: {model.what}; {model.engine}; {model.licence}; {size}; {there}")


@app.command("fetch")
def fetch_model(
    name: Annotated[str, typer.Argument(help="A name from the list.")] = "piper-joe-medium",
    source: Annotated[
        str, typer.Option(help=f"Only this source: {' or '.join(SOURCES)}; else each in turn.")
    ] = "",
) -> None:
    """Fetch a model: official source first, then the mirror. What broke off goes on."""
    try:
        if source and source not in SOURCES:
            raise ModelError(f"There is no source '{source}'; choose {' or '.join(SOURCES)}.")
        asked = (source,) if source else SOURCES
        model = known(name)
        typer.echo(f"{model.name}: {model.what}. Licence {model.licence}.", err=True)
        place = install(model, asked, progress=show, tell=_say)
    except ModelError as fault:
        _leave(fault)
    typer.echo(f"{name} lies in {place}.")


@app.command("bring")
def bring_model(
    name: Annotated[str, typer.Argument(help="A name from the list.")],
    path: Annotated[Path, typer.Argument(help="The folder or archive with the model's files.")],
) -> None:
    """Bring in a model that was fetched by other means."""
    try:
        place = bring(known(name), path)
    except ModelError as fault:
        _leave(fault)
    typer.echo(f"{name} lies in {place}.")


def show(name: str, done: int, size: int) -> None:
    """Show how far a transfer is, on one line of a terminal; a file at its end elsewhere."""
    ended = done >= size
    if sys.stderr.isatty():
        bar = "#" * round(30 * min(1.0, done / max(1, size)))
        text = f"\r{name:20} [{bar:30}] {done / 1e6:7.1f} of {size / 1e6:.1f} MB"
        typer.echo(text, err=True, nl=ended)
    elif ended:
        typer.echo(f"{name}: {size / 1e6:.1f} MB", err=True)


def _say(sentence: str) -> None:
    typer.echo(sentence, err=True)


def _leave(fault: ModelError) -> NoReturn:
    typer.echo(str(fault), err=True)
    raise typer.Exit(2) from None
