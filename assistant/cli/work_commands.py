"""Commands for building: run, resume."""

from __future__ import annotations

from functools import partial
from typing import Annotated

import typer

from assistant.board.address import BoardError
from assistant.cli.bench_file import BenchError, load_bench
from assistant.cli.errors import plainly
from assistant.cli.hearing import HearingError
from assistant.cli.people import PeopleError, job_name, must_be_line, people
from assistant.cli.revised import show_revision
from assistant.cli.session_options import JobOptions, SessionOptions
from assistant.cli.set_up import Job, set_up
from assistant.cli.talk_settings import kept_talk
from assistant.cli.terminal import tell
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
from assistant.shared_options import options_as_objects
from assistant.speech.choice import load_ahead

app = typer.Typer()

FAULTS = (
    AskedError, BenchError, BoardError, HearingError, JournalError, PeopleError,
    ProcedureFaults, ReplayError,
)  # fmt: skip


@app.command("run")
@plainly(*FAULTS)
@options_as_objects
def run(
    procedure: Annotated[str, typer.Argument(help="A procedure's name or file.")],
    asked: JobOptions,
    options: SessionOptions,
) -> None:
    """Build with a procedure: listen, guide, read back and record."""
    must_be_line(asked.job)
    clock = WallClock()
    kept = open_store(options.store)
    path = find_procedure(procedure, asked.language)
    named = people(asked.builder, asked.inspector)
    loaded, opened = opening(
        path, asked.job or path.stem, named, clock, partial(_begin_to_hear, options)
    )
    must_be_in(loaded, asked.language, path)
    if asked.habit not in ("", "inch", "metric"):
        raise AskedError(f"'{asked.habit}' is not a unit habit; say inch or metric.")
    if asked.habit:
        opened = opened.model_copy(update={"habit": asked.habit})
    if options.bench is not None:
        opened = opened.model_copy(update={"bench": load_bench(options.bench)})
    opened = opened.model_copy(update={"job": job_name(asked.job, path.stem)})
    session_id = new_session_id(opened.job, utc_now())
    job = Job(session_id, context_for(loaded), kept, clock, asked.builder)
    with set_up(options, job) as ready:
        chosen = {"attention": ready.when.mode, "talk": kept_talk(asked.builder)}
        opened = opened.model_copy(update=chosen)
        tell(f"Session {session_id}, recorded in {kept.where}")
        if not ready.session.open(opened):
            raise typer.Exit(1)
        _report(ready.session, ready.session.run(ready.source), options.store)


@app.command("resume")
@plainly(*FAULTS)
@options_as_objects
def resume(
    session_id: Annotated[
        str, typer.Argument(help="The session; the latest one when left out.")
    ] = "",
    *,
    options: SessionOptions,
) -> None:
    """Continue a session where it stopped, even weeks later or after a power cut."""
    kept = open_store(options.store)
    name = session_id or latest_session(kept)
    opened = stored_opening(kept, name)
    if opened.clock == "demo":
        raise AskedError(f"Session {name} is a demonstration; it cannot be resumed.")
    context = context_for(stored_procedure(opened, name))
    revised = show_revision(opened, context.procedure)
    tools = None if options.bench is None else load_bench(options.bench)
    building = next((p.name for p in opened.people if p.role == "builder"), "")
    with set_up(options, Job(name, context, kept, WallClock(), building)) as ready:
        if not ready.session.resume(tools, revised, ready.when.mode):
            raise typer.Exit(1)
        _report(ready.session, ready.session.run(ready.source), options.store)


def _begin_to_hear(options: SessionOptions, language: str) -> None:
    """Load the recogniser that will be needed while the procedure is checked."""
    if not options.keyboard:
        load_ahead(language, None if options.engine == "auto" else options.engine)


def _report(session: Session, ended: str | None, store: str | None) -> None:
    which = session.id if store is None else f'{session.id} --store "{store}"'
    if ended == "finished":
        tell(f"\nFinished. The record: assembly-assistant record {which}")
    else:
        tell(f"\nSaved. Continue with: assembly-assistant resume {which}")
