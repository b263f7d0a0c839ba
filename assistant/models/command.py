"""The commands that list, fetch and bring in speech models."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, NoReturn

import typer

from assistant.models.catalogue import catalogue, known
from assistant.models.errors import ModelError
from assistant.models.installing import SOURCES, bring, install
from assistant.models.places import installed, models_folder
from assistant.shown_table import Transfers, table, terminal_width

app = typer.Typer(
    name="models",
    help="Speech models outside the package: list, download, install from files.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)


@app.command("list")
def list_models() -> None:
    """List the known models, their licences and sizes, and whether each is installed."""
    typer.echo(f"Models are in {models_folder()}.")
    rows = (
        (m.name, m.what, m.engine, m.licence, f"{m.size / 1e6:.0f} MB",
         "installed" if installed(m) else "not installed")
        for m in catalogue().values()
    )  # fmt: skip
    headings = ("Name", "What", "Engine", "Licence", "Size", "Here")
    for line in table(headings, rows, terminal_width()):
        typer.echo(line)


@app.command("fetch")
def fetch_model(
    name: Annotated[str, typer.Argument(help="A name from the list.")] = "piper-joe-medium",
    source: Annotated[
        str, typer.Option(help=f"Only this source: {' or '.join(SOURCES)}; else each in turn.")
    ] = "",
) -> None:
    """Download a model: official source first, then the mirror. Continues a broken download."""
    try:
        if source and source not in SOURCES:
            raise ModelError(f"There is no source '{source}'; choose {' or '.join(SOURCES)}.")
        asked = (source,) if source else SOURCES
        model = known(name)
        typer.echo(f"{model.name}: {model.what}. Licence {model.licence}.", err=True)
        with Transfers() as show:
            place = install(model, asked, progress=show, tell=_say)
    except ModelError as fault:
        _leave(fault)
    typer.echo(f"{name} is in {place}.")


@app.command("bring")
def bring_model(
    name: Annotated[str, typer.Argument(help="A name from the list.")],
    path: Annotated[Path, typer.Argument(help="The folder or archive with the model's files.")],
) -> None:
    """Install a model from files that you already have."""
    try:
        place = bring(known(name), path)
    except ModelError as fault:
        _leave(fault)
    typer.echo(f"{name} is in {place}.")


def _say(sentence: str) -> None:
    typer.echo(sentence, err=True)


def _leave(fault: ModelError) -> NoReturn:
    typer.echo(str(fault), err=True)
    raise typer.Exit(2) from None
