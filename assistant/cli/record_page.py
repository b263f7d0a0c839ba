"""A build record as a page, with its sounds and pictures as far as they are what was stored."""

from __future__ import annotations

import os
from functools import lru_cache
from pathlib import Path

from assistant.cli.workplace import Store
from assistant.journal.seal import fingerprint
from assistant.report.html import Integrity, PictureView, SealLine, to_html
from assistant.report.model import BuildRecord, PictureLine
from assistant.report.thumbnail import thumbnail


def page_of(kept: Store, name: str, found: BuildRecord, page: Path) -> str:
    """The page of ``found``, session ``name`` of ``kept``, for a file at ``page``."""
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

    looked = lru_cache(maxsize=None)(kept.clips.look)

    def link(clip: str) -> str | None:
        return _from(page, kept.clips.path(clip)) if looked(clip) == "intact" else None

    def picture(line: PictureLine) -> PictureView:
        content = kept.pictures.content(line.file, line.media)
        if content is None:
            return PictureView(altered=kept.pictures.look(line.file, line.media) == "altered")
        where = kept.pictures.path(line.file, line.media)
        return PictureView(small=thumbnail(content), link=_from(page, where))

    integrity = Integrity(bad=None if bad is None else bad.sentence, seals=seals)
    return to_html(found, integrity, link, picture, lambda clip: looked(clip) == "altered")


def _from(page: Path, path: Path) -> str:
    return os.path.relpath(path.resolve(), page.resolve().parent)
