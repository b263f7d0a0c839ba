"""Loads a procedure file and reports every fault in it at once, each with its line."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from assistant.input_file import read_whole
from assistant.procedure.fault_words import in_words
from assistant.procedure.faults import Fault, FaultList, ProcedureFaults
from assistant.procedure.field_names import LISTS_WITH_IDS
from assistant.procedure.files import find_procedures, user_folder
from assistant.procedure.models import Procedure
from assistant.procedure.yaml_source import MAX_BYTES, Loc, Source, read_source

__all__ = [
    "Fault",
    "Loaded",
    "ProcedureFaults",
    "file_sha256",
    "find_procedures",
    "load_procedure",
    "load_with_lines",
    "user_folder",
]

_WITH_IDS = ("gauges", "consumables", "parts", "steps")


@dataclass(frozen=True)
class Loaded:
    """A procedure and the source it came from, for messages that name a line."""

    procedure: Procedure
    source: Source
    path: Path


def load_procedure(path: Path | str) -> Procedure:
    """Load the procedure in the file ``path``.

    Raises:
        ProcedureFaults: the file has faults; the exception lists all of them.
    """
    return load_with_lines(path).procedure


def load_with_lines(path: Path | str) -> Loaded:
    """Load a procedure together with the line of everything in it.

    Raises:
        ProcedureFaults: the file has faults; the exception lists all of them.
    """
    path = Path(path)
    faults = FaultList(path)
    source = read_source(path, faults)
    if not isinstance(source.data, dict):
        faults.add(1, "The file holds no keys; start it with 'id:', 'title:' and 'revision:'.")
        faults.raise_if_any()
    procedure: Procedure | None = None
    try:
        procedure = Procedure.model_validate(source.data)
    except ValidationError as error:
        for detail in error.errors(include_url=False):
            loc, message = in_words(detail, source)
            if _told_elsewhere(detail, loc, source):
                continue
            faults.add(source.line(loc), message)
    except UnicodeEncodeError:
        # An escape such as "\\ud800" is half of a character, which no text can hold.
        faults.add(
            1,
            "A key or value holds half of a character (an escape such as \\ud800); "
            "write the character itself.",
        )
    _repeated_ids(source, faults)
    faults.raise_if_any()
    assert procedure is not None
    return Loaded(procedure, source, path)


def _told_elsewhere(detail: ErrorDetails, loc: Loc, source: Source) -> bool:
    """An empty value is reported where it was read; a list of faulty items is not too short too."""
    given = detail["input"]
    if detail["type"] == "missing" and given is None:  # by a key that stands for several
        holder: Any = source.data
        for part in loc[:-1]:
            holder = holder[part]
        return loc[-1] in holder
    short = detail["type"] == "too_short" and isinstance(given, list)
    return given is None or (short and len(given) >= int(detail["ctx"]["min_length"]))


def _repeated_ids(source: Source, faults: FaultList) -> None:
    """Ids are names that other steps use, so each is given once in its list."""
    for section in _WITH_IDS:
        items = source.data.get(section)
        if not isinstance(items, list):
            continue
        _check(section, (), items, source, faults)
        for index, item in enumerate(items):
            for key in LISTS_WITH_IDS if isinstance(item, dict) else ():
                if isinstance(inner := item.get(key), list):
                    _check(key, (section, index), inner, source, faults)


def _check(
    section: str, around: tuple[str | int, ...], items: list[Any], source: Source, faults: FaultList
) -> None:
    seen: dict[str, int] = {}
    for index, item in enumerate(items):
        name = item.get("id") if isinstance(item, dict) else None
        if not isinstance(name, str):
            continue
        line = source.line((*around, section, index, "id"))
        if name in seen:
            faults.add(
                line,
                f"The id '{name}' in '{section}' was already used on line {seen[name]}; "
                "give this one another id.",
            )
        seen.setdefault(name, line)


def file_sha256(path: Path | str) -> str:
    """SHA-256 of the file's bytes in hexadecimal: the exact text a record was built by.

    Raises:
        OSError: the file cannot be read.
    """
    return hashlib.sha256(read_whole(Path(path), MAX_BYTES)).hexdigest()
