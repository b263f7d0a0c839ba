"""Which file of a procedure is meant where there are several languages of it.

A procedure has its texts in one language, and a session speaks that of its procedure. The same
procedure in another language is in the same folder as ``name.TAG.yaml``, such as
``kb2_inspection_cover.ko-KR.yaml``, under the same id.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import typer

from assistant.procedure.models import Procedure

LANGUAGE_HELP = "Language of the procedure, such as ko-KR."
LANGUAGE = typer.Option("", "--language", help=LANGUAGE_HELP)


def in_language(name: str, language: str, known: Mapping[str, Path]) -> Path | None:
    """The file of procedure ``name`` among ``known`` (stem to path); None when there is none.

    ``language`` empty: the file with just that name, else the only one in any language.
    """
    if language:
        return known.get(f"{name}.{language}") or known.get(name)
    if name in known:
        return known[name]
    others = [path for stem, path in known.items() if stem.rpartition(".")[0] == name]
    return others[0] if len(others) == 1 else None


def not_in_language(procedure: Procedure, language: str, path: Path) -> str:
    """One sentence for a procedure that is not written in ``language``; empty when it is."""
    if language in ("", procedure.language):
        return ""
    beside = path.with_name(f"{procedure.id}.{language}{path.suffix}").name
    return (
        f"{path} is written in {procedure.language}, not in {language}; leave --language out, or "
        f"put the procedure's {language} text beside it as {beside}."
    )
