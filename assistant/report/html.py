"""The record as one self-contained HTML page: in the shop, on a phone, for a screen reader."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import tzinfo
from functools import lru_cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup
from pydantic import BaseModel, ConfigDict

from assistant.report.lines.job import PictureLine
from assistant.report.model import BuildRecord
from assistant.report.sheet.blocks import Column
from assistant.report.sheet.integrity import Integrity, SealLine
from assistant.report.sheet.layout import lay_out
from assistant.shown_text import legible

_PAPER_WIDTH = 176.0  # mm between the margins

__all__ = ["EvidenceViews", "Integrity", "PictureView", "SealLine", "to_html"]


class PictureView(BaseModel):
    """A picture as the page can show it: ``small`` is a data URI, ``link`` leads to the file.

    ``altered``: its file is not what it was; then it is not shown.
    """

    model_config = ConfigDict(frozen=True)
    altered: bool = False
    small: str | None = None
    link: str | None = None


@dataclass(frozen=True)
class EvidenceViews:
    """How the page shows the sounds and pictures of a record; by default none is at hand.

    ``clip_link``: a clip's sound as a data URI, or its file's address seen from the page, or None
    when it is not kept. ``clip_altered``: whether its file is not what it was; then it cannot be
    played.
    """

    clip_link: Callable[[str], str | None] = lambda clip: None
    picture: Callable[[PictureLine], PictureView] = lambda line: PictureView()
    clip_altered: Callable[[str], bool] = lambda clip: False


def to_html(
    record: BuildRecord,
    integrity: Integrity | None = None,
    evidence: EvidenceViews | None = None,
    zone: tzinfo | None = None,
    last: BuildRecord | None = None,
) -> str:
    """The page. Style, drawings and small pictures are inside; nothing comes from a network.

    Args:
        integrity: the outcome of a check made now; None says on the page that none was made.
        evidence: how sounds and pictures are shown.
        zone: whose times are written; None is the machine's own.
        last: the build of the same procedure before this one, where there is one.
    """
    sheet = lay_out(record, integrity, zone, last)
    views = evidence or EvidenceViews()
    return _template().render(
        sheet=sheet,
        anchors={s.anchor: s.title for s in (*sheet.sections, *sheet.appendix)},
        clip_link=views.clip_link,
        picture=views.picture,
        clip_altered=views.clip_altered,
    )


def _harmless(value: Any) -> Any:
    """What Jinja writes: text of others cannot turn the page's text around."""
    return legible(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def _shares(columns: tuple[Column, ...]) -> list[str]:
    """The columns' widths in per cent, in the proportions that they have on A4."""
    taken = sum(c.fixed for c in columns) / _PAPER_WIDTH * 100
    whole = sum(c.width for c in columns if not c.fixed)
    return [
        f"{c.fixed / _PAPER_WIDTH * 100 if c.fixed else (100 - taken) * c.width / whole:.1f}"
        for c in columns
    ]


@lru_cache(maxsize=1)
def _template() -> Template:
    environment = Environment(
        loader=PackageLoader("assistant.report"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_harmless,
    )
    environment.filters["shares"] = _shares
    environment.filters["kind"] = lambda block: type(block).__name__
    return environment.get_template("record.html.j2")
