"""The sealing key that was seen first on this machine: trust on first use.

Whoever can rewrite a record can seal it again with a key of their own. The signature then holds;
the key is another one, and that is what shows. Who owns the machine can change this file too, so
what counts in the end is a fingerprint or a seal that was put away elsewhere.
"""

from __future__ import annotations

from pathlib import Path

from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from pydantic import BaseModel, ConfigDict, ValidationError

from assistant.input_file import read_whole
from assistant.journal.durable import make_folder, write_durably
from assistant.journal.seal import FIRST_KEY_FILE, fingerprint, signing_key, signing_key_file
from assistant.journal.types import JournalError

_MOST_BYTES = 10_000


class FirstKey(BaseModel):
    """``fingerprint`` of the key that was seen first, and when (ISO 8601 with offset)."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    fingerprint: str
    seen_at: str


def first_key(folder: Path, public_key: str, now: str) -> FirstKey:
    """The key seen first on the machine with the data ``folder``.

    Where none was, it is the machine's own key if there is one, else ``public_key`` (hexadecimal),
    and is kept from now on.

    Raises:
        JournalError: the file that keeps it cannot be read or written.
    """
    path = folder / FIRST_KEY_FILE
    try:
        if path.exists():
            return FirstKey.model_validate_json(read_whole(path, _MOST_BYTES))
        own = _own_key(folder)
        found = FirstKey(fingerprint=fingerprint(own or public_key), seen_at=now)
        make_folder(folder)
        write_durably(path, (found.model_dump_json(indent=2) + "\n").encode())
    except OSError as fault:
        raise JournalError(
            f"{path} cannot be used ({fault.strerror}); fix its permissions."
        ) from None
    except ValidationError:
        raise JournalError(
            f"{path} is damaged; check the fingerprints of your seals by a copy that was put away, "
            "then remove it."
        ) from None
    return found


def _own_key(folder: Path) -> str:
    if not signing_key_file(folder).exists():
        return ""
    public = signing_key(folder).public_key()
    return public.public_bytes(Encoding.Raw, PublicFormat.Raw).hex()
