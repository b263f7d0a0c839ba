"""A build record laid out, with its sounds and pictures as far as they are what was stored."""

from __future__ import annotations

import os
from base64 import b64encode
from functools import cache, lru_cache
from pathlib import Path

from assistant.cli.record_checked import integrity_of, last_build
from assistant.cli.workplace import Store
from assistant.report.html import EvidenceViews, PictureView, to_html
from assistant.report.lines.job import PictureLine
from assistant.report.model import BuildRecord
from assistant.report.pdf import Paper, to_pdf
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
    return to_html(
        found, checked, EvidenceViews(link, picture, altered), last=last_build(kept, found)
    )


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


def _from(page: Path, path: Path) -> str:
    return os.path.relpath(path.resolve(), page.resolve().parent)
