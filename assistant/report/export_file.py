"""Writes exports to files: whole or not at all, over nothing but a former export of the kind."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Collection
from pathlib import Path
from typing import Literal

from assistant.journal.durable import write_durably
from assistant.report.portable_name import name_fault

ExportKind = Literal[
    "csv", "json", "html", "pdf", "xlsx", "trend", "seal", "starter", "schema", "carried"
]

PDF_MARK = b"\n% assembly-build-record\n"
"""Stands after the end of a PDF that was printed here, where readers look for nothing."""

XLSX_MARK = b"assembly-build-record"
"""The comment at the end of a spreadsheet's archive that was written here."""

_HEAD = 32_000  # bytes
_HTML = re.compile(
    rb'<meta name="generator" content="assembly-build-record">|<p class="kind">Build record</p>'
)
_RECOGNISED: dict[ExportKind, Callable[[bytes, bytes], bool]] = {
    "csv": lambda head, tail: head.startswith(b"session,job,procedure,"),
    "json": lambda head, tail: b'"format": "assembly-build-record"' in head[:200],
    "html": lambda head, tail: _HTML.search(head) is not None,
    "pdf": lambda head, tail: head.startswith(b"%PDF-") and tail.endswith(PDF_MARK),
    "xlsx": lambda head, tail: head.startswith(b"PK") and tail.endswith(XLSX_MARK),
    "trend": lambda head, tail: b"<!-- assembly-build-record trend -->" in head,
    "seal": lambda head, tail: False,  # a seal that was put away is evidence: it stays
    "starter": lambda head, tail: False,  # it may have been filled in since
    "schema": lambda head, tail: False,
    "carried": lambda head, tail: False,  # it may be the only copy
}
"""Kind -> whether a file with this beginning and this end was written by it."""


_WRITTEN: dict[ExportKind, str] = {
    kind: f"no former {kind.upper()} export"
    for kind in ("csv", "json", "html", "pdf", "xlsx", "trend")
}


class ExportError(ValueError):
    """An export may not be written there; the message is one sentence with a remedy."""


def target_of(path: Path, kind: ExportKind, store: Collection[Path]) -> Path:
    """The file that an export of ``kind`` to ``path`` may be written to, links followed.

    Args:
        store: the files and folders of the record store.

    Raises:
        ExportError: it is the store or lies in it, is not a file, or holds something else than a
            former export of the kind; or Windows could not keep a file of that name.
    """
    if unfit := name_fault(path.name):
        raise ExportError(f"{path}: {unfit}; choose another name.")
    try:
        target = path.resolve()
        if any(target == own or own in target.parents for own in (p.resolve() for p in store)):
            raise ExportError(f"{path} belongs to the record store; choose another place.")
        if not target.exists():
            return target
        if not target.is_file():
            raise ExportError(f"{path} is there and is not a file; choose another place.")
        former = _RECOGNISED[kind](*_ends(target))
    except (OSError, RuntimeError, ValueError) as fault:
        if isinstance(fault, ExportError):
            raise
        raise _cannot(path, fault) from None
    if not former:
        raise ExportError(
            f"{path} is there already and is {_WRITTEN.get(kind, 'kept')}; choose another name, "
            "or move that file away."
        )
    return target


def write_export(path: Path, target: Path, content: bytes) -> None:
    """Write ``content`` to ``target`` (named ``path`` by the user), whole or not at all.

    Raises:
        ExportError: it cannot be written; what was there is as it was.
    """
    try:
        write_durably(target, content)
    except OSError as fault:
        raise _cannot(path, fault) from None


def _cannot(path: Path, fault: Exception) -> ExportError:
    why = getattr(fault, "strerror", None) or str(fault)
    return ExportError(f"{path}: cannot be written ({why}); choose another place.")


def _ends(target: Path) -> tuple[bytes, bytes]:
    with target.open("rb") as file:
        head = file.read(_HEAD)
        file.seek(0, os.SEEK_END)
        file.seek(max(0, file.tell() - len(PDF_MARK)))
        return head, file.read()
