"""What ``check`` refuses does not come to the bench: run, resume and rehearse ask here first."""

from __future__ import annotations

from collections.abc import Iterable

from assistant.cli.errors import AskedError
from assistant.cli.terminal import tell
from assistant.procedure.finding import Finding
from assistant.procedure.lint import lint
from assistant.procedure.loader import Loaded
from assistant.procedure.models import Procedure


def refuse_errors(loaded: Loaded) -> None:
    """Show the warnings on a procedure that was read from a file.

    Raises:
        AskedError: ``check`` finds errors in it; the message has a line for each.
    """
    _refuse(
        f"{loaded.path}: ",
        lint(loaded.procedure, loaded.source),
        f"Fix the file before work; 'assembly-assistant check {loaded.path}' checks it again.",
    )


def refuse_stored_errors(procedure: Procedure, session: str) -> None:
    """The same for the procedure that a stored session began with.

    Raises:
        AskedError: ``check`` finds errors in it, so the session must not go on by it.
    """
    _refuse(
        "",
        lint(procedure),
        f"Session {session} began with this text, so it cannot go on; its record is kept. Fix "
        "the procedure's file, check it, and begin a new session.",
    )


def _refuse(place: str, findings: Iterable[Finding], remedy: str) -> None:
    errors: list[str] = []
    for finding in findings:
        if finding.level == "error":
            errors.append(f"{place}{finding}")
        else:
            tell(f"{place}{finding}", err=True)
    if errors:
        raise AskedError("\n".join([*errors, remedy]))
