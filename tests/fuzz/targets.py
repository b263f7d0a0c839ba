"""Everything that reads what somebody else has written, as functions of bytes.

Each may refuse its input with the project's own error, whose message is for a mechanic, and with
nothing else.
"""

from __future__ import annotations

import csv
import json
import os
import re
import tempfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from io import StringIO
from pathlib import Path

from assistant.cli.bench_file import BenchError, load_bench
from assistant.cli.terminal import one_line, plain
from assistant.dialogue.context import Context
from assistant.dialogue.core import advance
from assistant.dialogue.effects import FetchPicture
from assistant.dialogue.events import Heard, PictureFound, Resumed, TimerElapsed
from assistant.dialogue.state import State
from assistant.journal.clips import ClipStore
from assistant.journal.outside import read_head, read_key
from assistant.journal.pictures import PictureStore
from assistant.journal.seal import Seal, broken_seal
from assistant.journal.store import SqlJournal
from assistant.journal.types import Entry, JournalError
from assistant.language.hypothesis import typed
from assistant.language.jsgf_reader import read_jsgf
from assistant.language.jsgf_writer import write_jsgf
from assistant.language.tree import GrammarError
from assistant.procedure.describe import describe
from assistant.procedure.faults import ProcedureFaults
from assistant.procedure.form import fits, form_fault
from assistant.procedure.lint import lint_file
from assistant.procedure.loader import load_with_lines
from assistant.procedure.models import Procedure
from assistant.procedure.revision_diff import in_words
from assistant.procedure.starter import starter
from assistant.procedure.step_list import StepListError
from assistant.report.carried_file import write_carried
from assistant.report.carried_reading import read_carried
from assistant.report.copied import RecordPlace
from assistant.report.export import to_csv, to_json
from assistant.report.html import to_html
from assistant.report.model import BuildRecord
from assistant.report.record import build_record
from assistant.session.picture_folder import whole
from tests.journal.drafts import SESSION
from tests.journal.shelf import shelf_in
from tests.report.sample import sample
from tests.session.kit import START, demo_context, opened_event

ROOT = Path(__file__).parents[2]
CORPUS = Path(__file__).parent / "corpus"
OWN_ERRORS = (ProcedureFaults, GrammarError, StepListError, BenchError, JournalError)
_IN_MEMORY = Path("/dev/shm")
_AT = START.isoformat()


@dataclass(frozen=True)
class Target:
    """``read`` is given bytes; ``seeds`` are real inputs to start from."""

    read: Callable[[bytes], None]
    seeds: Callable[[], Iterable[bytes]]


def attempt(target: Target, data: bytes) -> str:
    """Read ``data``; returns the message it was refused with, empty when it was taken.

    Raises anything else: that is a fault.
    """
    try:
        target.read(data)
    except OWN_ERRORS as refused:
        message = str(refused)
        if not message.strip() or "Traceback" in message:
            raise AssertionError(f"no message for a mechanic: {message!r}") from refused
        return message
    return ""


def _file(data: bytes, suffix: str) -> Path:
    folder = _IN_MEMORY if _IN_MEMORY.is_dir() else Path(tempfile.gettempdir())
    path = folder / f"kb2-fuzz-{os.getpid()}{suffix}"
    path.write_bytes(data)
    return path


def _procedure(data: bytes) -> None:
    path = _file(data, ".yaml")
    loaded = load_with_lines(path)
    for finding in lint_file(path):
        str(finding)
    describe(loaded.procedure)
    again = Procedure.model_validate(loaded.procedure.model_dump(mode="json"))
    assert again == loaded.procedure  # as a resumed session reads it
    in_words(loaded.procedure, again)


def _grammar(data: bytes) -> None:
    grammar = read_jsgf(data.decode("utf-8", "replace"), "fuzzed.jsgf")
    for start in list(grammar.rules)[:1]:
        try:
            once = write_jsgf(grammar, start)
        except GrammarError:
            return  # it hangs on another file of its language, or has a word in quotes
        again = write_jsgf(read_jsgf(once), start)  # without the brackets round dropped tags
        assert write_jsgf(read_jsgf(again), start) == again


def _bench(data: bytes) -> None:
    load_bench(_file(data, ".bench.yaml"))


def _markdown(data: bytes) -> None:
    starter(data.decode("utf-8", "replace"), "markdown")


def _csv(data: bytes) -> None:
    starter(data.decode("utf-8", "replace"), "csv")


def _carried(data: bytes) -> None:
    """A file on a stick, whose maker has counted its digest."""
    path = _file(data[:-64] + sha256(data[:-64]).hexdigest().encode(), ".zip")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        journal = SqlJournal(":memory:")
        read_carried(path, RecordPlace(ClipStore(folder), PictureStore(folder), journal))
        journal.close()


def _seal(data: bytes) -> None:
    broken_seal(Seal.parse(data.decode("utf-8", "replace")), None)


def _entries(data: bytes) -> None:
    """A journal whose entries hold any JSON at all, as a damaged or foreign one may."""
    try:
        lines = [json.loads(line) for line in data.splitlines()]
    except (ValueError, RecursionError):
        return
    entries = [
        Entry(
            "fact" if line.get("as") == "fact" else "event", str(line.get("at", _AT)),
            line["body"], None, None, "s", n,
        )
        for n, line in enumerate(lines, 1)
        if isinstance(line, dict) and isinstance(line.get("body"), dict)
    ]  # fmt: skip
    record = build_record(entries)
    to_json(record)
    to_csv(record)
    to_html(record)


def _picture(data: bytes) -> None:
    for media in ("jpeg", "png", "heic"):
        whole(data, media)


_CONTEXT: list[Context] = []


def _typed(data: bytes) -> None:
    """Lines typed at the bench: nothing that is said makes the dialogue fail."""
    if not _CONTEXT:
        _CONTEXT.append(demo_context())
    context = _CONTEXT[0]
    state, _ = advance(context, State(), opened_event(context))
    for line in data.decode("utf-8", "replace").splitlines()[:200]:
        state, effects = advance(context, state, Heard(at=_AT, recognition=typed(line)))
        for effect in effects:
            if isinstance(effect, FetchPicture):
                found = PictureFound(
                    at=_AT, step=effect.step, name=line, file="a", media="png", size=1, taken=_AT
                )
                state, _ = advance(context, state, found)
        for step, until in state.waits.items():
            state, _ = advance(context, state, TimerElapsed(at=until, step=step))
        if state.stopped:
            state, _ = advance(context, state, Resumed(at=_AT))


_CODES = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f]")
_NUMBER = re.compile(r"-?\d+(\.\d+)?(/\d+)?")


@lru_cache(maxsize=1)
def _record() -> BuildRecord:
    return build_record(sample())


def _form(data: bytes) -> None:
    """A form on the first line, and a spelled number against it."""
    form, _, text = data.decode("utf-8", "replace").partition("\n")
    if form_fault(form):
        assert not fits(form, text)
    else:
        fits(form, text)


def _outside(data: bytes) -> None:
    """What is given to ``--key`` and ``--head``, and a seal's file with these bytes."""
    text = data.decode("utf-8", "replace")
    path = str(_file(data, ".seal.json"))
    for read in (read_key, read_head):
        for given in (text, path):
            try:
                read(given)
            except JournalError as refused:
                told = str(refused).splitlines()
                if len(told) != 1:
                    raise AssertionError(told) from refused


def _shown(data: bytes) -> None:
    """Text of others on the terminal and in a cell of the CSV."""
    text = data.decode("utf-8", "surrogateescape")
    for shown in (plain(text), one_line(text)):
        assert not _CODES.search(shown)
        shown.encode()
    reading = _record().readings[0].model_copy(update={"heard": text})
    row = to_csv(_record().model_copy(update={"readings": [reading]}))
    for separator in ",;\t":
        try:
            rows = list(csv.reader(StringIO(row, newline=""), delimiter=separator))
        except csv.Error:  # the reader's own bound on a cell
            continue
        for cell in (cell for cells in rows for cell in cells):
            seen = cell.strip(' \t\r\n"')
            assert seen[:1] not in {*"=+-@"} or _NUMBER.fullmatch(seen), cell


def _files(*patterns: str) -> Callable[[], Iterable[bytes]]:
    return lambda: [f.read_bytes() for p in patterns for f in sorted(ROOT.glob(p))]


def _journal_lines() -> Iterable[bytes]:
    lines = [
        json.dumps({"as": entry.kind, "at": entry.at, "body": entry.body}).encode()
        for entry in sample()
    ]
    return [b"\n".join(lines), lines[0], *(b"\n".join([*lines[:1], one]) for one in lines[1:])]


def _carried_files() -> Iterable[bytes]:
    with tempfile.TemporaryDirectory() as name:
        shelf = shelf_in(Path(name))
        place = RecordPlace(
            ClipStore(shelf.folder / "clips"), PictureStore(shelf.folder / "pictures"),
            SqlJournal(shelf.store),
        )  # fmt: skip
        write_carried(SESSION, place, shelf.folder / "carried.zip")
        place.journal.close()
        return [(shelf.folder / "carried.zip").read_bytes()]


def _seals() -> Iterable[bytes]:
    seal = Seal(session="s", entries=3, last_hash="0" * 64, sealed_at=_AT, public_key="ab" * 32,
                signature="cd" * 64)  # fmt: skip
    return [seal.model_dump_json().encode()]


def _session_lines() -> Iterable[bytes]:
    return [f.read_bytes() for f in sorted(ROOT.glob("audio_fixtures/*.lines.txt"))] + [
        b"charlie\nthat is right\nstandard\nthat is right\n",
        b"attach a picture\ncorrection\ntake a note\nhello\ncorrection\nstop work\nthat is right",
        b"reading 1,500 thou\nreading -1/0 mm\nreading 1e9\nreading .\nreading 0x1 thou\n",
    ]


_STEPS = (
    b"# Cap\n1. Clean the bore.\n2. Measure the gap, 1 to 3 thou.\n> Caution: hot.\n"
    b"3. Tighten the bolts to 12 lbf ft.\n",
)
_TABLE = (
    b"kind,title,say,lower,upper,unit,gauge,target,tool,fasteners,duration\n"
    b"measurement,Gap,Measure.,1,3,thou,dial,,,,\ntightening,Cap,Tighten.,,,,,12 lbf*ft,w,a;b,\n"
    b"wait,Cure,Wait.,,,,,,,,10 min\n",
)
_PIXEL = (
    b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x02\x00\x00\x00"
    b"\x90wS\xde\x00\x00\x00\x0cIDATx\x9cc```\x00\x00\x00\x04\x00\x01\xf6\x178U\x00\x00\x00\x00"
    b"IEND\xaeB`\x82",
    b"\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00\xff\xd9",
    b"\x00\x00\x00\x10ftypheic\x00\x00\x00\x00",
)

_FORMS = (b"^KB[0-9]{3}$\nKB217", b"^(A|AA)+$\nAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA!", b"(?=A)B\n")
_CELLS = (b"=cmd()", b"-1+cmd|' /C calc'!A0", b"x;=1+1", b"\n@x", b"\x1b[2J", "\u202e=1".encode())

TARGETS: dict[str, Target] = {
    "procedure": Target(_procedure, _files("procedures/*.yaml")),
    "grammar": Target(_grammar, _files("grammars/en-US/*.jsgf")),
    "bench": Target(_bench, _files("docs/examples/*bench*.yaml")),
    "markdown": Target(_markdown, lambda: _STEPS),
    "csv": Target(_csv, lambda: _TABLE),
    "carried": Target(_carried, _carried_files),
    "seal": Target(_seal, _seals),
    "entries": Target(_entries, _journal_lines),
    "picture": Target(_picture, lambda: _PIXEL),
    "form": Target(_form, lambda: _FORMS),
    "outside": Target(_outside, lambda: [*_seals(), b"3:" + b"a" * 64, b"0" * 32]),
    "shown": Target(_shown, lambda: _CELLS),
    "typed": Target(_typed, _session_lines),
}
"""Name -> what reads it. ``benchmarks/fuzz.py`` runs them all."""
