"""Commands about the bench itself: what is found, and whether the microphone hears well."""

from __future__ import annotations

from datetime import UTC, datetime
from itertools import islice

import numpy as np
import typer

from assistant.audio.level import Level
from assistant.audio.microphone import Microphone
from assistant.cli.failing import plainly
from assistant.cli.workplace import open_store
from assistant.journal.place import default_location
from assistant.journal.types import JournalError
from assistant.procedure.loader import find_procedures
from assistant.speech.errors import SpeechError
from assistant.speech.inventory import Item, devices_found, engines_found, voices_found

app = typer.Typer()

_BLOCKS_PER_SECOND = 10
_BUILT_AFTER = datetime(2026, 1, 1, tzinfo=UTC)


@app.command("doctor")
def doctor(
    language: str = typer.Option("en-US", "--language", help="Language to listen for."),
    store: str | None = typer.Option(None, "--store", help="Record store to look at."),
) -> None:
    """Say what is found for hearing, speaking and recording, and how to mend what is not."""
    groups = (
        ("Recognisers", engines_found(language)),
        ("Voices", voices_found()),
        ("Sound devices", devices_found()),
        ("Record", [_store_found(store), _clock_found(datetime.now(UTC))]),
        ("Procedures", [_procedures_found()]),
    )
    for title, items in groups:
        typer.echo(title)
        for item in items:
            mark = "found  " if item.present else "missing"
            told = item.detail if item.present else item.remedy
            typer.echo(f"  {mark} {item.name}{': ' if told else ''}{told}")
    if not any(i.present for i in groups[0][1]) or not groups[3][1][0].present:
        raise typer.Exit(1)


def _store_found(store: str | None) -> Item:
    where = store or str(default_location())
    try:
        open_store(store).journal.close()
    except JournalError as fault:
        return Item("store", False, remedy=str(fault))
    return Item("store", True, where)


def _clock_found(now: datetime) -> Item:
    if now < _BUILT_AFTER:
        return Item("clock", False, remedy=f"it says {now:%Y-%m-%d}; set the machine's date.")
    return Item("clock", True, f"{now:%Y-%m-%d %H:%M} UTC")


def _procedures_found() -> Item:
    found = find_procedures()
    names = ", ".join(p.stem for p in found)
    return Item("procedures", bool(found), names, "install the package again")


@app.command("microphone")
@plainly(SpeechError)
def microphone(
    device: str | None = typer.Option(None, "--device", help="Microphone, by a part of its name."),
    seconds: int = typer.Option(5, "--seconds", min=1, max=60, help="How long to listen."),
) -> None:
    """Listen for a few seconds and say whether the level is right."""
    with Microphone(device) as source:
        typer.echo(f"Listening to {source.name} for {seconds} s; speak as you would at the bench.")
        blocks = list(islice(source.blocks(), seconds * _BLOCKS_PER_SECOND))
        lost = source.overruns
    level = Level.of(np.concatenate(blocks))
    typer.echo(f"Peak {level.peak_dbfs:.0f} dBFS, level {level.rms_dbfs:.0f} dBFS, lost {lost}.")
    typer.echo(level.advice)


def add_to(parent: typer.Typer) -> None:
    """Add these commands to the console command."""
    parent.registered_commands += app.registered_commands
