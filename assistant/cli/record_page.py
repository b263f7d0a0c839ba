"""A build record laid out, with its sounds and pictures as far as they are what was stored."""

from __future__ import annotations

import os
from base64 import b64encode
from datetime import datetime
from functools import cache, lru_cache
from pathlib import Path

from assistant.cli.workplace import Store
from assistant.journal.seal import fingerprint
from assistant.journal.types import JournalError
from assistant.report.html import PictureView, to_html
from assistant.report.model import BuildRecord, PictureLine
from assistant.report.pdf import Paper, to_pdf
from assistant.report.record import build_record
from assistant.report.sheet.integrity import Integrity, SealLine
from assistant.report.sheet.layout import lay_out
from assistant.report.spreadsheet import to_xlsx
from assistant.report.thumbnail import thumbnail

_SOUND_INSIDE = 15_000_000  # bytes of sound that go into a page; more of it is linked


def page_of(kept: Store, name: str, found: BuildRecord, page: Path) -> str:
    """The page of ``found``, session ``name`` of ``kept``, for a file at ``page``.

    The sounds are inside, so that the page plays them on another machine too, until they would
    make it too large.
    """
    looked = lru_cache(maxsize=None)(kept.clips.look)
    room = [_SOUND_INSIDE]

    @cache
    def link(clip: str) -> str | None:
        if looked(clip) != "intact":
            return None
        path = kept.clips.path(clip)
        room[0] -= path.stat().st_size
        if room[0] < 0:
            return _from(page, path)
        return "data:audio/flac;base64," + b64encode(path.read_bytes()).decode("ascii")

    def picture(line: PictureLine) -> PictureView:
        content = kept.pictures.content(line.file, line.media)
        if content is None:
            return PictureView(altered=kept.pictures.look(line.file, line.media) == "altered")
        where = kept.pictures.path(line.file, line.media)
        return PictureView(small=thumbnail(content), link=_from(page, where))

    def altered(clip: str) -> bool:
        return looked(clip) == "altered"

    checked = integrity_of(kept, name, found)
    return to_html(found, checked, link, picture, altered, last=last_build(kept, found))


def paper_of(kept: Store, name: str, found: BuildRecord, paper: Paper) -> bytes:
    """The record as a PDF.

    Raises:
        PdfError: it could not be typeset.
    """

    def small(line: PictureLine) -> str | None:
        content = kept.pictures.content(line.file, line.media)
        return None if content is None else thumbnail(content)

    sheet = lay_out(found, integrity_of(kept, name, found), last=last_build(kept, found))
    return to_pdf(found, sheet, small, paper)


def spreadsheet_of(kept: Store, name: str, found: BuildRecord) -> bytes:
    """The record as a spreadsheet."""
    return to_xlsx(found, lay_out(found, integrity_of(kept, name, found)))


def integrity_of(kept: Store, name: str, found: BuildRecord) -> Integrity:
    """The journal, the seals, and the files of sounds and pictures, checked now."""
    bad = kept.journal.verify(name)
    seals = tuple(
        SealLine(
            entries=s.entries,
            sealed_at=s.sealed_at,
            public_key=s.public_key,
            fingerprint=fingerprint(s.public_key),
        )
        for s in kept.journal.seals(name)
    )
    named = [
        *(r.clip for r in found.readings),
        *(n.clip for n in found.notes),
        *(i.clip for i in found.identified),
        *(d.clip for d in found.dispositions),
    ]
    clips = {clip for clip in named if clip}
    altered = sum(kept.clips.look(clip) == "altered" for clip in clips)
    altered += sum(kept.pictures.look(p.file, p.media) == "altered" for p in found.pictures)
    return Integrity(bad=None if bad is None else bad.sentence, seals=seals, altered=altered)


def last_build(kept: Store, found: BuildRecord) -> BuildRecord | None:
    """The last finished build of the same procedure that was begun before this one."""
    before = [
        row
        for row in kept.journal.sessions()
        if row.procedure_id == found.procedure_id
        and row.session != found.session
        and _instant(row.opened_at) < _instant(found.opened_at)
    ]
    for row in sorted(before, key=lambda row: _instant(row.opened_at), reverse=True):
        try:
            record = build_record(kept.journal.read(row.session))
        except JournalError:
            continue  # damaged: verify says so of that session
        if record.finished_at is not None and record.demo_clock == found.demo_clock:
            return record
    return None


def _instant(at: str) -> float:
    try:
        return datetime.fromisoformat(at).timestamp()
    except ValueError:
        return 0.0


def _from(page: Path, path: Path) -> str:
    return os.path.relpath(path.resolve(), page.resolve().parent)
