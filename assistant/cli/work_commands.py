"""Commands for building: run, resume, demo."""

from __future__ import annotations

from pathlib import Path

import typer

from assistant.board.address import BoardError
from assistant.cli.attending import ATTEND, PEDAL
from assistant.cli.bench_file import BenchError, load_bench
from assistant.cli.demo import DemoError, run_demo
from assistant.cli.errors import plainly
from assistant.cli.hearing import HearingError
from assistant.cli.interrupting import INTERRUPTIBLE
from assistant.cli.languages import LANGUAGE
from assistant.cli.people import PeopleError, must_be_line, people
from assistant.cli.revised import tell_revised
from assistant.cli.set_up import SessionOptions, set_up
from assistant.cli.terminal import tell
from assistant.cli.voice_profile import NO_PROFILE
from assistant.cli.which_procedure import find_procedure, must_be_in
from assistant.cli.workplace import (
    AskedError,
    context_for,
    latest_session,
    new_session_id,
    open_store,
    opening,
    stored_opening,
    stored_procedure,
    utc_now,
)
from assistant.journal.types import JournalError
from assistant.procedure.faults import ProcedureFaults
from assistant.session.clock import WallClock
from assistant.session.session import ReplayError, Session

app = typer.Typer()

AUDIO = typer.Option(None, "--audio", help="Take the speech from this WAV or FLAC file.")
KEYBOARD = typer.Option(False, "--keyboard", help="Type instead of speaking.")
ENGINE = typer.Option("auto", "--engine", help="Recogniser: auto, ear or vosk.")
DEVICE = typer.Option(None, "--device", help="Microphone, by a part of its name.")
VOICE = typer.Option(
    "auto", "--voice", help="Voice: auto, piper, pyttsx3, silent, or a folder for WAV files."
)
BENCH = typer.Option(None, "--bench", help="The bench inventory: tools with their calibration.")
BOARD = typer.Option(
    None,
    "--board",
    help="Show the glance board at HOST:PORT; 'here' for this machine only.",
)
PICTURES = typer.Option(
    None, "--pictures", help="Folder that your camera's pictures arrive in, to attach by voice."
)
STORE = typer.Option(None, "--store", help="Record store: a file, or a database URL.")
FAULTS = (
    AskedError, BenchError, BoardError, DemoError, HearingError, JournalError, PeopleError,
    ProcedureFaults, ReplayError,
)  # fmt: skip


@app.command("run")
@plainly(*FAULTS)
def run(
    procedure: str = typer.Argument(..., help="A procedure's name or file."),
    builder: str = typer.Option(..., "--builder", help="Who builds: first and last name."),
    inspector: list[str] = typer.Option(
        [], "--inspector", help="Who may accept hold points; may be given more than once."
    ),
    job: str = typer.Option("", "--job", help="The job: the machine's number, say."),
    language: str = LANGUAGE,
    habit: str = typer.Option("", "--habit", help="Units you think in, inch or metric."),
    audio: Path | None = AUDIO,
    keyboard: bool = KEYBOARD,
    engine: str = ENGINE,
    device: str | None = DEVICE,
    attend: str = ATTEND,
    pedal: str | None = PEDAL,
    no_profile: bool = NO_PROFILE,
    interruptible: bool = INTERRUPTIBLE,
    voice: str = VOICE,
    bench: Path | None = BENCH,
    board: str | None = BOARD,
    pictures: Path | None = PICTURES,
    store: str | None = STORE,
) -> None:
    """Build by a procedure: listen, guide, read back and record."""
    must_be_line(job)
    clock = WallClock()
    kept = open_store(store)
    path = find_procedure(procedure, language)
    loaded, opened = opening(path, job or path.stem, people(builder, inspector), clock)
    must_be_in(loaded, language, path)
    if habit not in ("", "inch", "metric"):
        raise AskedError(f"'{habit}' is no unit habit; say inch or metric.")
    if habit:
        opened = opened.model_copy(update={"habit": habit})
    if bench is not None:
        opened = opened.model_copy(update={"bench": load_bench(bench)})
    context = context_for(loaded)
    session_id = new_session_id(opened.job, utc_now())
    asked = SessionOptions(
        audio, keyboard, engine, device, attend, pedal, no_profile, interruptible, voice,
        board, pictures,
    )  # fmt: skip
    with set_up(asked, session_id, context, kept, clock, builder) as ready:
        opened = opened.model_copy(update={"attention": ready.when.mode})
        tell(f"Session {session_id}, recorded in {kept.where}")
        if not ready.session.open(opened):
            raise typer.Exit(1)
        _report(ready.session, ready.session.run(ready.ear))


@app.command("resume")
@plainly(*FAULTS)
def resume(
    session_id: str = typer.Argument("", help="The session; the latest one when left out."),
    audio: Path | None = AUDIO,
    keyboard: bool = KEYBOARD,
    engine: str = ENGINE,
    device: str | None = DEVICE,
    attend: str = ATTEND,
    pedal: str | None = PEDAL,
    no_profile: bool = NO_PROFILE,
    interruptible: bool = INTERRUPTIBLE,
    voice: str = VOICE,
    bench: Path | None = BENCH,
    board: str | None = BOARD,
    pictures: Path | None = PICTURES,
    store: str | None = STORE,
) -> None:
    """Go on with a session where it was left, weeks ago or after a power cut."""
    kept = open_store(store)
    name = session_id or latest_session(kept)
    opened = stored_opening(kept, name)
    if opened.clock == "demo":
        raise AskedError(f"Session {name} is a demonstration; it cannot be gone on with.")
    context = context_for(stored_procedure(opened, name))
    revised = tell_revised(opened, context.procedure)
    tools = None if bench is None else load_bench(bench)
    building = next((p.name for p in opened.people if p.role == "builder"), "")
    asked = SessionOptions(
        audio, keyboard, engine, device, attend, pedal, no_profile, interruptible, voice,
        board, pictures,
    )  # fmt: skip
    with set_up(asked, name, context, kept, WallClock(), building) as ready:
        if not ready.session.resume(tools, revised, ready.when.mode):
            raise typer.Exit(1)
        _report(ready.session, ready.session.run(ready.ear))


@app.command("demo")
@plainly(*FAULTS)
def demo(
    engine: str = ENGINE,
    keyboard: bool = typer.Option(
        False, "--keyboard", help="Take the same words typed instead of the recording."
    ),
    voice: str = typer.Option("silent", "--voice", help="Voice: silent, auto, or a folder."),
    store: str | None = STORE,
) -> None:
    """Run a whole session from a recording; fails unless the record is what was spoken."""
    if not run_demo(engine=engine, keyboard=keyboard, voice=voice, store=store):
        raise typer.Exit(1)


def _report(session: Session, ended: str | None) -> None:
    if ended == "finished":
        tell(f"\nFinished. The record: assembly-assistant record {session.id}")
    else:
        tell(f"\nSaved. Go on with: assembly-assistant resume {session.id}")
