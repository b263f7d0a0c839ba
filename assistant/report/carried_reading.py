"""Reads a session file that ``export`` wrote; one that was changed or is too large is refused."""

from __future__ import annotations

import errno
import re
import struct
import zlib
from collections.abc import Iterator
from contextlib import closing
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, BinaryIO
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

from pydantic import BaseModel, ConfigDict

from assistant.input_file import open_plain
from assistant.journal.clips import ClipStore
from assistant.journal.durable import make_folder
from assistant.journal.pictures import PictureStore
from assistant.journal.seal import Seal
from assistant.journal.store import SqlJournal
from assistant.journal.types import Entry, EntryKind, JournalError
from assistant.report.carried_file import (
    DIGITS,
    ENTRIES,
    MANIFEST,
    MARK,
    README,
    SEALS,
    Manifest,
    digest_of,
)
from assistant.report.copied import Copied, RecordPlace, copy_session

_EVIDENCE = re.compile(r"(?:clips/[0-9a-f]{64}\.flac|pictures/[0-9a-f]{64}\.(?:jpg|png|heic))")
_MOST_MEMBERS = 200_000
_MOST_BYTES = {README: 10_000, MANIFEST: 10_000, SEALS: 5_000_000, ENTRIES: 400_000_000}
_MOST_EVIDENCE = 200_000_000  # bytes of one sound or picture
_BROKEN = (
    BadZipFile,
    zlib.error,
    struct.error,
    EOFError,
    ArithmeticError,
    RuntimeError,
    ValueError,
)


class _CarriedEntry(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    session: str
    seq: int
    kind: EntryKind
    at: str
    body: dict[str, Any]
    clip: str | None
    engine: str | None
    prev: str
    hash: str


def read_carried(path: Path, target: RecordPlace) -> tuple[str, Copied]:
    """Add the session that ``path`` carries to ``target``; returns its name and what came.

    What ``target`` has already stays, so doing it twice does no harm.

    Raises:
        ConflictError: ``target`` has another session of that name.
        JournalError: the file was changed or is none of this program, its record was altered, or
            the store fails; ``target`` has nothing new then.
        OSError: it cannot be read, or a file cannot be written.
    """
    with open_plain(path) as file:
        _refuse_changed(file, path)
        with (
            TemporaryDirectory(prefix="assembly-assistant-") as name,
            closing(SqlJournal((folder := Path(name)) / "records.db")) as journal,
        ):
            try:
                with ZipFile(file) as archive:
                    manifest = _unpack(archive, folder, journal, path)
            except JournalError:
                raise
            except _BROKEN:
                raise _foreign(path) from None
            except OSError as fault:
                if fault.errno == errno.EINVAL:  # the archive points to a place before its start
                    raise _foreign(path) from None
                raise
            aside = RecordPlace(
                ClipStore(folder / "clips"), PictureStore(folder / "pictures"), journal
            )
            return manifest.session, copy_session(manifest.session, aside, target)


def _refuse_changed(file: BinaryIO, path: Path) -> None:
    size = file.seek(0, 2)
    end = len(MARK) + DIGITS
    file.seek(max(0, size - end))
    mark, digest = (tail := file.read(end))[:-DIGITS], tail[-DIGITS:]
    if mark != MARK:
        raise _foreign(path)
    if digest_of(file, size - DIGITS) != digest:
        raise JournalError(
            f"{path} was changed or damaged since it was exported; export it again from its store."
        )


def _unpack(archive: ZipFile, folder: Path, journal: SqlJournal, path: Path) -> Manifest:
    """Put what the archive carries into ``folder`` and ``journal``; returns what it says it is."""
    members = archive.infolist()
    names = [member.filename for member in members]
    fit = {*_MOST_BYTES, *(name for name in names if _EVIDENCE.fullmatch(name))}
    if len(names) > _MOST_MEMBERS or len(names) > len(set(names)) or set(names) != fit:
        raise _foreign(path)
    manifest = Manifest.model_validate_json(_content(archive, archive.getinfo(MANIFEST)))
    entries = list(_entries(_content(archive, archive.getinfo(ENTRIES)), manifest.session))
    if not entries or (len(entries), entries[-1].hash) != (manifest.entries, manifest.last_hash):
        raise JournalError(f"{path} does not hold the whole record that it names; export it again.")
    for member in members:
        if member.filename not in _MOST_BYTES:
            _evidence(archive, member, folder)
    journal.adopt(entries)
    for line in _content(archive, archive.getinfo(SEALS)).decode().splitlines():
        journal.keep_seal(Seal.parse(line))
    return manifest


def _content(archive: ZipFile, member: ZipInfo) -> bytes:
    """A member's bytes, never more than it may have.

    Raises:
        ValueError: it is larger.
    """
    own = _MOST_BYTES.get(member.filename)
    most = _MOST_EVIDENCE if own is None else own
    if member.compress_type != (ZIP_STORED if own is None else ZIP_DEFLATED):
        raise ValueError(member.filename)
    with archive.open(member) as file:
        content = file.read(most + 1)
    if len(content) > most:
        raise ValueError(member.filename)
    return content


def _entries(lines: bytes, session: str) -> Iterator[Entry]:
    for seq, line in enumerate(BytesIO(lines), 1):
        made = _CarriedEntry.model_validate_json(line)
        if (made.session, made.seq) != (session, seq):
            raise ValueError(seq)
        yield Entry(**dict(made))


def _evidence(archive: ZipFile, member: ZipInfo, folder: Path) -> None:
    content = _content(archive, member)
    place = folder / member.filename
    if sha256(content).hexdigest() != place.stem:
        raise JournalError(f"The file {member.filename} in the record was altered; it is refused.")
    make_folder(place.parent)
    place.write_bytes(content)


def _foreign(path: Path) -> JournalError:
    return JournalError(
        f"{path} is no whole record made by 'assembly-assistant export'; copy it again, or export "
        "it again."
    )
