"""What a disk may hold after the power fails, made from a real writer's own calls to the system.

A writer records as a session does (clip, picture, then the entries that name them) under strace,
which notes every write and every fsync. From these the disk is rebuilt as it may be at any moment:

- What was flushed is there.
- Of what was not flushed, anything may be missing, whole or in sectors of 512 bytes.
- A name may be missing until its folder was flushed.

POSIX promises that and no more (fsync in IEEE Std 1003.1); file systems in use promise more.
SQLite's shared-memory file is left out, because it does not survive a power cut.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from random import Random
from typing import Literal

import numpy as np

from assistant.journal.clips import ClipStore
from assistant.journal.pictures import PictureStore
from assistant.journal.store import SqlJournal
from assistant.journal.types import Draft
from tests.journal.drafts import AT, SESSION, opening

SECTOR = 512
STORE = "records.db"
_CALL = re.compile(r"^\d+\s+(?P<name>\w+)\((?P<rest>.*)\)\s+=\s+(?P<result>-?\d+)")
_FD = re.compile(r"^\d+<(?P<path>[^>]*)>(?:, )?(?P<rest>.*)$", re.DOTALL)
_TRACED = (
    "mkdir,mkdirat,openat,open,write,pwrite64,fsync,fdatasync,ftruncate,unlink,unlinkat,"
    "rename,renameat2"
)

Unflushed = Literal["nothing", "all", "some"]
"""How much of what was not flushed is there after a power cut."""


# The writer -------------------------------------------------------------------------------------


def write(place: str, appends: int, acknowledge: int) -> None:
    """Record ``appends`` utterances, each with a sound; some with a picture, some very long."""
    folder = Path(place).parent
    clips, pictures = ClipStore(folder / "clips"), PictureStore(folder / "pictures")
    journal = SqlJournal(place)
    known = journal.append(SESSION, [opening()], 0)[-1].seq
    os.write(acknowledge, b"%d\n" % known)
    for number in range(appends):
        clip = clips.keep(np.full(160, number, np.int16))
        body = {"kind": "heard", "number": number, "words": "go on " * (900 * (number % 5 == 4))}
        batch = [Draft("event", AT, body, clip, "test"), Draft("said", AT, {"text": "x"})]
        if number % 3 == 0:
            file = pictures.keep(b"\xff\xd8\xff" + number.to_bytes(4, "big") * 100, "jpeg")
            batch.append(Draft("fact", AT, {"kind": "picture_attached", "file": file}))
        known = journal.append(SESSION, batch, known)[-1].seq
        os.write(acknowledge, b"%d\n" % known)
        if number % 9 == 8:  # opened by another process: the log is merged and started again
            journal.close()
            journal = SqlJournal(place)
    journal.close()


# What it did ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Call:
    """A call that changes files; ``path`` is within the writer's folder."""

    name: Literal["make", "folder", "write", "sync", "cut", "unlink", "rename", "ack"]
    path: str
    at: int = 0
    data: bytes = b""
    other: str = ""


def record(folder: Path, appends: int) -> list[Call]:
    """Run the writer in ``folder`` under strace; returns its calls in order."""
    log = folder.with_suffix(".strace")
    folder.mkdir()
    command = ["strace", "-f", "-y", "-xx", "-s", "10000000", "-e", f"trace={_TRACED}",
               "-o", str(log), sys.executable, "-m", "tests.journal.power_cut",
               str(folder / STORE), str(appends)]  # fmt: skip
    subprocess.run(command, check=True, cwd=Path(__file__).parents[2])
    with log.open(encoding="ascii") as lines:
        return list(_calls(lines, folder.resolve()))


def _calls(lines: Iterator[str], folder: Path) -> Iterator[Call]:
    ends: dict[str, int] = {}  # where a plain write goes on
    for line in lines:
        found = _CALL.match(line)
        if found is None or int(found["result"]) < 0:
            continue
        name, rest, result = found["name"], found["rest"], int(found["result"])
        if name in (
            "mkdir",
            "mkdirat",
            "openat",
            "open",
            "unlink",
            "unlinkat",
            "rename",
            "renameat2",
        ):
            named = [_within(p, folder) for p in re.findall(r'"((?:\\x..)*)"', rest)]
            if not named or named[0] is None:
                continue
            path = named[0]
            if name.startswith("mkdir"):
                yield Call("folder", path)
            elif name in ("openat", "open"):
                ends[path] = 0
                if "O_CREAT" in rest:
                    yield Call("make", path)
                if "O_TRUNC" in rest:
                    yield Call("cut", path, 0)
            elif name.startswith("unlink"):
                yield Call("unlink", path)
            elif named[1] is not None:
                yield Call("rename", path, other=named[1])
            continue
        on = _FD.match(rest)
        written = None if on is None else _within(on["path"], folder)
        if on is None or written is None or written.endswith("-shm"):
            continue
        if name in ("fsync", "fdatasync"):
            yield Call("sync", written)
        elif name == "ftruncate":
            yield Call("cut", written, int(on["rest"]))
        else:
            data = _bytes(re.findall(r'"((?:\\x..)*)"', on["rest"])[0])[:result]
            if written == "acks":
                yield Call("ack", written, int(data))
                continue
            at = int(on["rest"].rsplit(", ", 1)[1]) if name == "pwrite64" else ends.get(written, 0)
            ends[written] = at + len(data)
            yield Call("write", written, at, data)


def _bytes(escaped: str) -> bytes:
    return bytes.fromhex(escaped.replace("\\x", ""))


def _within(escaped: str, folder: Path) -> str | None:
    path = Path(os.fsdecode(_bytes(escaped)))
    try:
        return str(path.relative_to(folder))
    except ValueError:
        return None


# The disk ---------------------------------------------------------------------------------------


@dataclass
class _File:
    flushed: bytearray = field(default_factory=bytearray)
    folder: bool = False
    pending: list[Call] = field(default_factory=list)


@dataclass
class Disk:
    """The files as the writer sees them, and what of them is sure to outlive the power."""

    names: dict[str, _File] = field(default_factory=dict)
    flushed_names: dict[str, _File] = field(default_factory=dict)
    acknowledged: int = 0

    def do(self, call: Call) -> None:
        """Carry out one call."""
        match call.name:
            case "make":
                self.names.setdefault(call.path, _File())
            case "folder":
                self.names[call.path] = _File(folder=True)
            case "write" | "cut":
                self.names.setdefault(call.path, _File()).pending.append(call)
            case "sync" if call.path in self.names and not self.names[call.path].folder:
                file = self.names[call.path]
                for waiting in file.pending:
                    _apply(file.flushed, waiting)
                file.pending = []
            case "sync":  # a folder: the names in it are sure from now on
                for known in (self.names, self.flushed_names):
                    for path in [p for p in known if str(Path(p).parent) == call.path]:
                        if path in self.names:
                            self.flushed_names[path] = self.names[path]
                        else:
                            del self.flushed_names[path]
            case "unlink":
                self.names.pop(call.path, None)
            case "rename":
                self.names[call.other] = self.names.pop(call.path)
            case "ack":
                self.acknowledged = call.at

    def image(self, how: Unflushed, chance: Random) -> dict[str, bytes]:
        """Files after a power cut now: of what was not flushed nothing, all or some is there."""
        names = dict(self.flushed_names)
        for path in {*self.names, *self.flushed_names}:
            if how == "all" or (how == "some" and chance.random() < 0.5):
                if path in self.names:
                    names[path] = self.names[path]
                else:
                    names.pop(path, None)
        return {
            path: _contents(file, how, chance)
            for path, file in names.items()
            if not file.folder and all(str(p) in names for p in list(Path(path).parents)[:-1])
        }


def _contents(file: _File, how: str, chance: Random) -> bytes:
    content = bytearray(file.flushed)
    for waiting in file.pending:
        if how == "all":
            _apply(content, waiting)
        elif how == "some" and chance.random() < 0.7:
            for part in _sectors(waiting, chance):
                _apply(content, part)
    return bytes(content)


def _sectors(call: Call, chance: Random) -> Iterator[Call]:
    """``call`` whole, or torn: only some of the sectors that it touches are written."""
    if call.name == "cut" or chance.random() < 0.4:
        yield call
        return
    start = call.at
    while start < call.at + len(call.data):
        end = min(call.at + len(call.data), (start // SECTOR + 1) * SECTOR)
        if chance.random() < 0.6:
            yield Call("write", call.path, start, call.data[start - call.at : end - call.at])
        start = end


def _apply(content: bytearray, call: Call) -> None:
    if call.name == "cut":
        del content[call.at :]
        content.extend(bytes(call.at - len(content)))
        return
    content.extend(bytes(max(0, call.at - len(content))))
    content[call.at : call.at + len(call.data)] = call.data


# Whether the record is whole --------------------------------------------------------------------


def check(image: dict[str, bytes], acknowledged: int, folder: Path) -> int:
    """Open a disk's image as the program would; returns how many entries it holds.

    Raises:
        AssertionError: an acknowledged entry is lost, the record does not verify, a sound or
            picture that an entry names is not whole, or nothing more can be recorded.
    """
    shutil.rmtree(folder, ignore_errors=True)
    for path, content in image.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(content)
    journal = SqlJournal(folder / STORE)
    kept = journal.entries_of(SESSION)
    assert kept >= acknowledged, f"{acknowledged} were acknowledged, {kept} are there"
    if kept:
        bad = journal.verify(SESSION)
        assert bad is None, bad
    numbers: list[int] = []
    for entry in journal.read(SESSION) if kept else ():
        if entry.clip is not None:
            assert _whole(folder / "clips" / f"{entry.clip}.flac", entry.clip)
            numbers.append(int(entry.body["number"]))
        if entry.kind == "fact":
            file = str(entry.body["file"])
            assert _whole(folder / "pictures" / f"{file}.jpg", file)
    assert numbers == list(range(len(numbers)))
    more = journal.append(SESSION, [Draft("event", AT, {"kind": "resumed"})], kept)
    assert more[-1].seq == kept + 1
    journal.close()
    return kept


def _whole(path: Path, name: str) -> bool:
    return path.is_file() and sha256(path.read_bytes()).hexdigest() == name


def _main() -> None:
    place, appends = sys.argv[1:]
    acks = os.open(Path(place).parent / "acks", os.O_WRONLY | os.O_CREAT)
    write(place, int(appends), acks)


if __name__ == "__main__":
    _main()
