"""Was the procedure's file revised since a session began, wherever that session found it?"""

from __future__ import annotations

from pathlib import Path

from assistant.cli.terminal import tell
from assistant.cli.workplace import AskedError, find_procedure
from assistant.dialogue.events import Opened, Revised
from assistant.dialogue.revising import revision_of
from assistant.procedure.faults import ProcedureFaults
from assistant.procedure.loader import file_sha256, find_procedures, load_procedure
from assistant.procedure.models import Procedure
from assistant.procedure.revision_diff import in_words

_CONTINUES = (
    "This session continues with the procedure that it began with; the manual on the bench governs."
)


def show_revision(opened: Opened, recorded: Procedure) -> Revised | None:
    """Show, line by line, how the procedure's file differs from what the session began with.

    Returns the event for the session; None when nothing changed or nothing can be known.
    """
    path = _file_of(opened, recorded)
    if path is None:
        where = opened.procedure_path or f"a procedure called {recorded.id}"
        tell(f"Cannot check whether this procedure was revised: {where} is not there any more.")
        return None
    try:
        sha256 = file_sha256(path)
    except OSError as fault:
        tell(f"Cannot check whether this procedure was revised: {path}: {fault.strerror}.")
        return None
    if sha256 == opened.procedure_sha256:
        return None
    try:
        current = load_procedure(path)
    except ProcedureFaults as faults:
        tell(f"The procedure's file has changed since this session began, and is faulty now:\n"
             f"{faults}\n{_CONTINUES}")  # fmt: skip
        return Revised(revision=recorded.revision, sha256=sha256, head=True)
    if current == recorded:
        return None  # comments or spaces
    tell("The procedure's file has changed since this session began:")
    tell(in_words(recorded, current))
    tell(_CONTINUES)
    return revision_of(recorded, current, sha256)


def _file_of(opened: Opened, recorded: Procedure) -> Path | None:
    """Where the session's procedure is now; None if it cannot be found.

    The file that the session was begun with comes first; a session stored before that was kept, or
    whose file was moved, has the one with the procedure's id.
    """
    begun_with = Path(opened.procedure_path)
    if opened.procedure_path and begun_with.is_file():
        return begun_with
    try:
        named = find_procedure(recorded.id, recorded.language)
    except AskedError:
        named = None
    known = ([named] if named is not None else []) + find_procedures()
    return next((p for p in known if _is_of(p, recorded)), None)


def _is_of(path: Path, recorded: Procedure) -> bool:
    try:
        found = load_procedure(path)
    except (ProcedureFaults, OSError):
        return False
    return (found.id, found.language) == (recorded.id, recorded.language)
