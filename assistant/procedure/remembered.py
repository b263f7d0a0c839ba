"""The cache of the procedure list: reading every procedure file takes most of a second.

It is a file in the user's cache folder and may be deleted at any time. An entry counts
only for the same file content and the same code, so a changed file or program is read again.
"""

from __future__ import annotations

import json
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

from assistant.folders import user_cache
from assistant.input_file import read_whole
from assistant.output_file import write_whole
from assistant.own_code import code_sha256

_ROOMS = ("language", "procedure", "quantities")
_MOST_BYTES = 5_000_000  # of a procedure, or of the list
_MOST_FILES = 1000


class RememberedList:
    """Revision and title of procedure files; use as a context manager, which saves what is new."""

    def __init__(self) -> None:
        self._path = user_cache("procedures.json")
        self._code = code_sha256(_ROOMS)
        self._known = self._read()
        self._new = False

    def __enter__(self) -> RememberedList:
        return self

    def __exit__(self, *_: object) -> None:
        if self._new:
            self._save()

    def heading(self, path: Path) -> tuple[str, str] | None:
        """Revision and title of the procedure in ``path``; None where the file is faulty."""
        try:
            key = sha256(read_whole(path, _MOST_BYTES)).hexdigest()
        except OSError:
            return _loaded(path)
        if key not in self._known:
            found = _loaded(path)
            self._known[key] = None if found is None else list(found)
            self._new = True
        kept = self._known[key]
        return None if kept is None else (str(kept[0]), str(kept[1]))

    def _read(self) -> dict[str, Any]:
        try:
            kept = json.loads(read_whole(self._path, _MOST_BYTES))
            if kept["code"] != self._code:
                return {}
            files = {k: v for k, v in kept["files"].items() if v is None or len(v) == 2}
        except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
            return {}
        return files

    def _save(self) -> None:
        files = dict(list(self._known.items())[-_MOST_FILES:])
        with suppress(OSError):  # the list is shown all the same
            write_whole(self._path, json.dumps({"code": self._code, "files": files}).encode())


def _loaded(path: Path) -> tuple[str, str] | None:
    from assistant.procedure.faults import ProcedureFaults
    from assistant.procedure.loader import load_procedure  # slow to import

    try:
        found = load_procedure(path)
    except ProcedureFaults:
        return None
    return found.revision, found.title
