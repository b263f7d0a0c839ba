"""Which code this is: what was computed by other code is computed again."""

from __future__ import annotations

from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from assistant.resources import data_folder

_PACKAGE = Path(__file__).resolve().parent


@lru_cache(maxsize=4)
def code_sha256(rooms: tuple[str, ...]) -> str:
    """The SHA-256 of the code in ``rooms`` and of the words of all languages."""
    whole = sha256()
    files = [f for room in rooms for f in sorted((_PACKAGE / room).rglob("*"))
             if f.suffix in (".py", ".txt")]  # fmt: skip
    files += [f for f in sorted(data_folder("grammars").rglob("*")) if f.is_file()]
    for file in files:
        whole.update(f"{file.name}\n".encode())
        whole.update(file.read_bytes())
    return whole.hexdigest()
