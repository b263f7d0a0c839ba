"""Puts a session together from what the command line asked for."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from secrets import token_hex

from pydantic import ValidationError

from assistant.cli.checked import refuse_errors, refuse_stored_errors
from assistant.cli.errors import AskedError as AskedError
from assistant.cli.terminal import tell
from assistant.cli.which_procedure import find_procedure as find_procedure
from assistant.dialogue.context import Context
from assistant.dialogue.edition import EDITION
from assistant.dialogue.events import Opened, Person
from assistant.journal.buffered import BufferedJournal
from assistant.journal.clips import ClipStore
from assistant.journal.location import default_location, store_url
from assistant.journal.pictures import PictureStore
from assistant.journal.seal import key_files
from assistant.journal.store import SqlJournal
from assistant.journal.types import JournalError
from assistant.language import GrammarError, Language
from assistant.procedure.checks.installed import installed_languages
from assistant.procedure.kinds import kind_of
from assistant.procedure.loader import file_sha256, load_with_lines
from assistant.procedure.models import Procedure
from assistant.session.clock import Clock
from assistant.session.snapshots import SnapshotFolder


@dataclass(frozen=True)
class Store:
    """The journal and its sound clips."""

    journal: SqlJournal | BufferedJournal
    clips: ClipStore
    pictures: PictureStore
    snapshots: SnapshotFolder
    where: str
    own: tuple[Path, ...]  # files and folders that are the store, which no export may touch


def open_store(where: str | None) -> Store:
    """Open the record store at ``where`` (a file or a database URL), by default the user's own.

    Raises:
        JournalError: it cannot be opened.
    """
    place = where if where is not None else str(default_location())
    folder = default_location().parent if "://" in place else Path(place).parent
    journal: SqlJournal | BufferedJournal
    if "://" in place and not place.startswith("sqlite"):
        # a bench goes on when the shop's server is lost, and sends later
        store_url(place)
        journal = BufferedJournal(place, folder / "waiting.db")
        for sentence in journal.set_aside():
            tell(sentence, err=True)
    else:
        journal = SqlJournal(place)
    return Store(
        journal,
        ClipStore(folder / "clips"),
        PictureStore(folder / "pictures"),
        SnapshotFolder(folder / "snapshots"),
        place,
        _own(place, folder),
    )


def _own(place: str, folder: Path) -> tuple[Path, ...]:
    names = ["clips", "pictures", "snapshots"]
    files = [folder / "waiting.db", default_location(), *key_files(default_location().parent)]
    url = store_url(place)
    if url.get_backend_name() == "sqlite" and url.database:
        files.append(Path(url.database))
    beside = [f.with_name(f.name + end) for f in files for end in ("", "-wal", "-shm", "-journal")]
    return (*beside, *(folder / name for name in names))


def new_session_id(job: str, now: datetime) -> str:
    """A session name that sorts by time and says the job."""
    slug = re.sub(r"[^a-z0-9]+", "-", job.lower()).strip("-")[:30] or "job"
    return f"{now:%Y%m%d-%H%M%S}-{slug}-{token_hex(2)}"


def opening(
    path: Path,
    job: str,
    people: tuple[Person, ...],
    clock: Clock,
    before_check: Callable[[str], None] = lambda language: None,
) -> tuple[Procedure, Opened]:
    """The procedure in ``path`` and the event that opens a session with it.

    ``before_check`` is called with its language, so that other work can begin during the check.

    Raises:
        ProcedureFaults: the file is faulty.
        AskedError: the check finds errors in it, or it has a hold point and nobody to accept it.
    """
    loaded = load_with_lines(path)
    before_check(loaded.procedure.language)
    refuse_errors(loaded)
    procedure = loaded.procedure
    holds = any(kind_of(s).is_hold_point for s in procedure.steps)
    if holds and not any(p.role == "inspector" for p in people):
        raise AskedError(
            f"'{procedure.title}' has a hold point that a second person must accept; "
            "name them with --inspector 'First Last'."
        )
    return procedure, Opened(
        at=clock.now().isoformat(),
        job=job,
        procedure_id=procedure.id,
        procedure_revision=procedure.revision,
        procedure_sha256=file_sha256(path),
        procedure=procedure.model_dump(mode="json"),
        people=people,
        language=procedure.language,
        clock=clock.kind,
        phrases_asked=True,
        edition=EDITION,
        talk="usual",
        procedure_path=str(path.absolute()),
    )


def stored_opening(store: Store, session_id: str) -> Opened:
    """The opening event of a stored session.

    Raises:
        JournalError: there is no such session, or it does not begin with an opening.
    """
    for entry in store.journal.read(session_id):
        if entry.kind == "event" and entry.body.get("kind") == "opened":
            try:
                return Opened.model_validate(entry.body)
            except ValidationError:
                raise JournalError(
                    f"The opening of session {session_id} cannot be read; verify the record, and "
                    "use the version that made it."
                ) from None
        break
    raise JournalError(f"Session {session_id} does not begin with an opening event.")


def stored_procedure(opened: Opened, session_id: str) -> Procedure:
    """The procedure that a stored session began with.

    Raises:
        AskedError: this version cannot read it, or the check finds errors in it.
    """
    try:
        procedure = Procedure.model_validate(opened.procedure)
    except ValidationError:
        raise AskedError(
            f"This version cannot read the procedure that session {session_id} began with; "
            "continue with the version that began it."
        ) from None
    refuse_stored_errors(procedure, session_id)
    return procedure


def context_for(procedure: Procedure) -> Context:
    """The unchanging surroundings of a session with ``procedure``, in the procedure's language.

    Raises:
        AskedError: that language is not installed, or its data are faulty.
    """
    known = installed_languages()
    if procedure.language not in known:
        raise AskedError(
            f"'{procedure.title}' is written in {procedure.language}, which is not installed; "
            f"the languages here are: {', '.join(known)}."
        )
    try:
        return Context(procedure, Language.load(procedure.language))
    except GrammarError as fault:
        raise AskedError(str(fault)) from fault


def latest_session(store: Store) -> str:
    """The session touched last.

    Raises:
        AskedError: nothing has been recorded yet.
    """
    rows = store.journal.sessions()
    if not rows:
        raise AskedError("Nothing has been recorded yet; begin with 'assembly-assistant run'.")
    return max(rows, key=lambda row: row.last_at).session


def utc_now() -> datetime:
    """The present instant, in UTC."""
    return datetime.now(UTC)
