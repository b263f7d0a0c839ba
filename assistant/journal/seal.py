"""Seals: detached Ed25519 signatures (RFC 8032) over the end of a finished record.

The chain shows every change inside a record; only a seal, copied away from the machine, also
shows that entries were cut off its end or that the whole record was rewritten.
"""

from __future__ import annotations

import os
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import rfc8785
from pydantic import BaseModel, ConfigDict, ValidationError

from assistant.input_file import read_whole
from assistant.journal.types import JournalError
from assistant.journal.verify import BadEntry

if TYPE_CHECKING:  # slow to import, and only seals need it
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

FIRST_KEY_FILE = "first-seal-key.json"
_MOST_KEY_BYTES = 10_000


class Seal(BaseModel):
    """What was sealed: record ``session`` up to entry ``entries`` with the hash ``last_hash``.

    ``public_key`` (32 bytes) and ``signature`` (64 bytes) are hexadecimal; the signature covers
    the canonical JSON (RFC 8785) of the object without its member ``signature``.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)

    format: Literal["assembly-record-seal"] = "assembly-record-seal"
    version: Literal[1] = 1
    session: str
    entries: int
    last_hash: str
    sealed_at: str
    public_key: str
    signature: str = ""

    @classmethod
    def parse(cls, text: str) -> Seal:
        """Read a seal's JSON.

        Raises:
            JournalError: it is none.
        """
        try:
            return cls.model_validate_json(text)
        except ValidationError as fault:
            raise JournalError(
                "A seal of this record cannot be read; use the copy that was put away."
            ) from fault

    def signed_bytes(self) -> bytes:
        """What the signature covers."""
        return rfc8785.dumps(self.model_dump(exclude={"signature"}))


def seal_record(
    session: str, entries: int, last_hash: str, sealed_at: str, key: Ed25519PrivateKey
) -> Seal:
    """Sign the end of a record. ``sealed_at`` is ISO 8601 with offset."""
    from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

    public = key.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw).hex()
    seal = Seal(
        session=session,
        entries=entries,
        last_hash=last_hash,
        sealed_at=sealed_at,
        public_key=public,
    )
    return seal.model_copy(update={"signature": key.sign(seal.signed_bytes()).hex()})


def broken_seal(seal: Seal, stored_hash: str | None) -> BadEntry | None:
    """Check ``seal`` against the hash of the entry that it names (None where there is none)."""

    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    def bad(what: str) -> BadEntry:
        return BadEntry(seal.session, seal.entries, "seal", f"{what} (sealed {seal.sealed_at}).")

    try:
        public = Ed25519PublicKey.from_public_bytes(bytes.fromhex(seal.public_key))
        public.verify(bytes.fromhex(seal.signature), seal.signed_bytes())
    except (InvalidSignature, ValueError):
        return bad(f"The seal of {seal.session} has been altered")
    if stored_hash is None:
        return bad(f"The record {seal.session} has been cut short of its seal")
    if stored_hash != seal.last_hash:
        return bad(f"The record {seal.session} has been rewritten since it was sealed")
    return None


def fingerprint(public_key: str) -> str:
    """A key (hexadecimal) in 32 digits that can be written down and read aloud.

    The first half of the SHA-256 of its 32 bytes, in groups of four.
    """
    try:
        content = bytes.fromhex(public_key)
    except ValueError:
        content = public_key.encode("utf-8", "replace")  # the signature fails on it anyway
    digits = sha256(content).hexdigest()[:32]
    return " ".join(digits[i : i + 4] for i in range(0, 32, 4))


def signing_key_file(folder: Path) -> Path:
    """The path of the shop's key in ``folder``, whether or not it is there."""
    return folder / "seal-key.pem"


def key_files(folder: Path) -> tuple[Path, ...]:
    """The files about keys in ``folder``, which are part of the store."""
    return signing_key_file(folder), folder / FIRST_KEY_FILE


def signing_key(folder: Path) -> Ed25519PrivateKey:
    """The shop's key, made on first use in ``folder`` (``seal-key.pem``, its owner's alone).

    Raises:
        JournalError: the key cannot be read or made.
    """
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    path = signing_key_file(folder)
    try:
        if path.exists():
            key = serialization.load_pem_private_key(read_whole(path, _MOST_KEY_BYTES), None)
            if isinstance(key, Ed25519PrivateKey):
                return key
            raise ValueError("it is of another kind")
        made = Ed25519PrivateKey.generate()
        folder.mkdir(parents=True, exist_ok=True)
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(
                made.private_bytes(
                    serialization.Encoding.PEM,
                    serialization.PrivateFormat.PKCS8,
                    serialization.NoEncryption(),
                )
            )
    except (OSError, ValueError, TypeError) as fault:
        raise JournalError(f"The sealing key {path} cannot be used ({fault}); fix it.") from fault
    return made
