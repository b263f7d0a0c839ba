"""Finds the procedure that the command line names, and loads it."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

from assistant.cli.checked import refuse_errors
from assistant.cli.errors import AskedError
from assistant.cli.languages import in_language, not_in_language
from assistant.procedure.loader import find_procedures, load_with_lines
from assistant.procedure.models import Procedure


def find_procedure(name: str, language: str = "") -> Path:
    """The procedure file called ``name``: a path, or the id of a shipped or own procedure.

    ``language``: the one of that procedure that is wanted, where there are several.

    Raises:
        AskedError: there is none.
    """
    path = Path(name)
    if path.suffix in (".yaml", ".yml") or path.exists():
        return path
    known = {p.stem: p for p in find_procedures()}
    found = in_language(name, language, known)
    if found is not None:
        return found
    near = get_close_matches(name, known, n=1, cutoff=0.6)
    listed = ", ".join(sorted(known)) or "none"
    hint = f"did you mean '{near[0]}'? There are" if near else "name a file or one of"
    raise AskedError(f"There is no procedure '{name}'; {hint}: {listed}.")


def load_in(name: str, language: str) -> Procedure:
    """The procedure called ``name``, which must be written in ``language`` where that is given.

    Raises:
        ProcedureFaults: its file is faulty.
        AskedError: there is none, the check finds errors in it, or it is in another language.
    """
    path = find_procedure(name, language)
    loaded = load_with_lines(path)
    must_be_in(loaded.procedure, language, path)
    refuse_errors(loaded)
    return loaded.procedure


def must_be_in(procedure: Procedure, language: str, path: Path) -> None:
    """Refuse a procedure that is not written in ``language``, where that is given.

    Raises:
        AskedError: it is in another language.
    """
    told = not_in_language(procedure, language, path)
    if told:
        raise AskedError(told)
