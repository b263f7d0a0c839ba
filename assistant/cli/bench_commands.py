"""Commands about the bench itself: what is found, and whether the microphone hears well."""

from __future__ import annotations

from itertools import islice

import numpy as np
import typer

from assistant.audio.level import Level
from assistant.audio.microphone import Microphone
from assistant.cli import checks
from assistant.cli.errors import plainly
from assistant.cli.terminal import tell
from assistant.speech.choice import ENGINES
from assistant.speech.errors import SpeechError
from assistant.speech.inventory import InventoryItem

app = typer.Typer()

_BLOCKS_PER_SECOND = 10


@app.command("doctor")
def doctor(
    language: str = typer.Option("en-US", "--language", help="Language to listen for."),
    store: str | None = typer.Option(None, "--store", help="Record store to look at."),
    device: str | None = typer.Option(None, "--device", help="Microphone: part of its name."),
    pedal: str | None = typer.Option(
        None, "--pedal", help="Foot pedal to look for: part of its name."
    ),
) -> None:
    """Check what hearing, speaking and recording need, and how to fix what is missing."""
    needed = checks.bench_checks(language, store, device)
    if pedal is not None:
        needed.append(checks.pedal(pedal))
    there = {item.name for item in needed if item.present}
    hears = bool(there & set(ENGINES))
    for item in needed:  # of two recognisers one is enough
        _tell(item, "extra  " if hears and item.name in ENGINES else "missing")
    for item in checks.extras(language):
        _tell(item, "extra  ")
    if not hears or not {"clock", "record"} <= there:
        raise typer.Exit(1)


def _tell(item: InventoryItem, absent: str) -> None:
    told = item.detail if item.present else item.remedy
    mark = "found  " if item.present else absent
    tell(f"{mark} {item.name}{': ' if told else ''}{told}")


@app.command("microphone")
@plainly(SpeechError)
def microphone(
    device: str | None = typer.Option(None, "--device", help="Microphone: part of its name."),
    seconds: int = typer.Option(5, "--seconds", min=1, max=60, help="How long to listen."),
) -> None:
    """Listen for a few seconds and say whether the level is right."""
    with Microphone(device) as source:
        tell(f"Listening to {source.name} for {seconds} s; speak as you would at the bench.")
        blocks = list(islice(source.blocks(), seconds * _BLOCKS_PER_SECOND))
        lost = source.overruns
    level = Level.of(np.concatenate(blocks))
    tell(f"Peak {level.peak_dbfs:.0f} dBFS, level {level.rms_dbfs:.0f} dBFS, lost {lost}.")
    tell(level.advice)
