"""One file that carries a session: its entries, seals, sounds and pictures, for a stick.

A ZIP archive (APPNOTE.TXT 6.3), so that anybody can look into it. Its comment, which is its end,
holds the SHA-256 of every byte before that digest: no byte can change unseen by accident. Against a
forger the chain and the seals help, as in any store.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO, Literal
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

import rfc8785
from pydantic import BaseModel, ConfigDict

from assistant.journal.clips import ClipStore
from assistant.journal.durable import durable_file
from assistant.journal.pictures import PictureStore
from assistant.journal.seal import Seal
from assistant.journal.types import Entry
from assistant.report.copied import Copied, EvidencePlace, RecordPlace, files_of, whole_record
from assistant.report.evidence import look_at

MARK = b"assembly-carried-record sha256:"
"""Stands before the digest at the end."""
DIGITS = 64
MANIFEST, ENTRIES, SEALS, README = "record.json", "entries.jsonl", "seals.jsonl", "README.txt"
INSIDE = EvidencePlace(ClipStore("clips"), PictureStore("pictures"))
"""Where sounds and pictures are in the archive."""
_BLOCK = 1_000_000  # bytes
_SAYS = """A build record with its sounds and pictures, made by the assembly assistant.
Do not change or repack this file: it would be refused. To add it to a store:
  assembly-assistant import THIS-FILE
"""


class Manifest(BaseModel):
    """What the file carries: the record ``session`` up to entry ``entries``."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    format: Literal["assembly-carried-record"] = "assembly-carried-record"
    version: Literal[1] = 1
    session: str
    entries: int
    last_hash: str


def write_carried(session: str, source: RecordPlace, to: Path) -> Copied:
    """Write ``session`` to the file ``to``, whole or not at all; the same record, the same bytes.

    Raises:
        JournalError: the record or a file of it was altered, or the store fails.
        OSError: the file cannot be written.
    """
    entries = whole_record(session, source, "is not exported")
    seals = source.journal.seals(session)
    with durable_file(to) as file:
        with ZipFile(file, "w", ZIP_DEFLATED) as archive:
            archive.comment = MARK + b"0" * DIGITS
            made = Manifest(session=session, entries=len(entries), last_hash=entries[-1].hash)
            _put(archive, README, _SAYS.encode())
            _put(archive, MANIFEST, rfc8785.dumps(made.model_dump()))
            _put(archive, ENTRIES, _lines(_entry(entry) for entry in entries))
            _put(archive, SEALS, _lines(_seal(seal) for seal in seals))
            there: set[Path] = set()
            for here, name in files_of(entries, source, INSIDE):
                if name not in there:
                    _put(archive, name.as_posix(), here.read_bytes(), ZIP_STORED)
                    there.add(name)
        size = file.seek(0, 2)
        digest = digest_of(file, size - DIGITS)
        file.seek(size - DIGITS)
        file.write(digest)
    return Copied(len(entries), look_at(entries, source.clips, source.pictures).sounds_away)


def digest_of(file: BinaryIO, length: int) -> bytes:
    """The SHA-256 of the first ``length`` bytes of ``file``, in 64 hexadecimal digits."""
    file.seek(0)
    digest = sha256()
    while length > 0 and (block := file.read(min(_BLOCK, length))):
        digest.update(block)
        length -= len(block)
    return digest.hexdigest().encode()


def _put(archive: ZipFile, name: str, content: bytes, how: int = ZIP_DEFLATED) -> None:
    member = ZipInfo(name)  # dated 1980: the archive depends on the record alone
    member.external_attr = 0o644 << 16
    archive.writestr(member, content, how)


def _lines(lines: Iterable[bytes]) -> bytes:
    return b"".join(line + b"\n" for line in lines)


def _entry(entry: Entry) -> bytes:
    return json.dumps(vars(entry), ensure_ascii=False, sort_keys=True).encode()


def _seal(seal: Seal) -> bytes:
    return rfc8785.dumps(seal.model_dump())
