"""The options of ``run`` and ``resume``: those that both have, and those that begin a job."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated

import typer

from assistant.cli.languages import LANGUAGE_HELP
from assistant.shared_options import ADVANCED

_ATTEND = (
    "When to listen: always, phrase (after the attention phrase), or held (while a foot pedal or a "
    "key of this terminal is held down)."
)
_INTERRUPTIBLE = (
    "Listen while speaking, so that you may cut long speech short; needs the microphone and a "
    "loudspeaker at the same sound card or server."
)
_VOICE = "Voice: auto, piper, pyttsx3, silent, or a folder for WAV files."
_NO_PROFILE = "Ignore the builder's voice profile made by 'fit'."
_PEDAL = "Foot pedal: part of its name; use it with --attend held."
_BENCH = "The bench inventory: tools with their calibration."
_BOARD = "Show the glance board at HOST:PORT; 'here' for this machine only."
_PICTURES = "Folder that your camera writes to; attach its pictures by voice."
_AUDIO = "Take the speech from this WAV or FLAC file."
_JOB = "The job, such as the machine's number; a terminal asks for it where it is left out."
_INSPECTOR = "Who may accept hold points."

EngineName = Annotated[
    str,
    typer.Option("--engine", help="Recogniser: auto, ear or vosk.", rich_help_panel=ADVANCED),
]
StorePlace = Annotated[
    str | None,
    typer.Option(
        "--store", help="Record store: a file, or a database URL.", rich_help_panel=ADVANCED
    ),
]


@dataclass(frozen=True, kw_only=True)
class SessionOptions:
    """What to hear, speak, show and keep a session with."""

    audio: Annotated[Path | None, typer.Option("--audio", help=_AUDIO)] = None
    keyboard: Annotated[bool, typer.Option("--keyboard", help="Type instead of speaking.")] = False
    engine: EngineName = "auto"
    device: Annotated[
        str | None, typer.Option("--device", help="Microphone: part of its name.")
    ] = None
    attend: Annotated[str, typer.Option("--attend", help=_ATTEND)] = "always"
    pedal: Annotated[str | None, typer.Option("--pedal", help=_PEDAL)] = None
    no_profile: Annotated[
        bool, typer.Option("--no-profile", help=_NO_PROFILE, rich_help_panel=ADVANCED)
    ] = False
    interruptible: Annotated[
        bool, typer.Option("--interruptible", help=_INTERRUPTIBLE, rich_help_panel=ADVANCED)
    ] = False
    voice: Annotated[str, typer.Option("--voice", help=_VOICE)] = "auto"
    bench: Annotated[Path | None, typer.Option("--bench", help=_BENCH)] = None
    board: Annotated[str | None, typer.Option("--board", help=_BOARD)] = None
    pictures: Annotated[Path | None, typer.Option("--pictures", help=_PICTURES)] = None
    store: StorePlace = None


@dataclass(frozen=True, kw_only=True)
class JobOptions:
    """Who begins which job."""

    builder: Annotated[str, typer.Option("--builder", help="The builder's first and last name.")]
    inspector: Annotated[list[str], typer.Option("--inspector", help=_INSPECTOR)] = field(
        default_factory=list
    )
    job: Annotated[str, typer.Option("--job", help=_JOB)] = ""
    language: Annotated[str, typer.Option("--language", help=LANGUAGE_HELP)] = ""
    habit: Annotated[str, typer.Option("--habit", help="Units you think in, inch or metric.")] = ""
