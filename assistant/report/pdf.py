"""The record on paper: PDF/A-3 (ISO 19005-3), tagged, with the record's JSON inside.

Set by typst, a library, with no browser and no network. The template reads the laid-out record as
data; no text of a record is ever markup.
"""

from __future__ import annotations

import json
import re
import unicodedata
from base64 import b64decode
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from datetime import UTC, datetime
from importlib.resources import files
from io import BytesIO
from typing import Any, Literal

import typst
from PIL import Image

from assistant.report.export import to_json
from assistant.report.export_file import PDF_MARK, ExportError
from assistant.report.lines.job import PictureLine
from assistant.report.model import BuildRecord
from assistant.report.sheet.blocks import Drawing, Photo, Sheet
from assistant.shown_text import legible, written_out

Paper = Literal["a4", "letter"]
PAPERS: dict[Paper, str] = {"a4": "a4", "letter": "us-letter"}

STANDARD = "a-3a"
_LONG = re.compile(r"\S{24,}")
_BREAK = "\u200b"  # zero width: a place where a long word may be broken
_NO_GLYPH = re.compile(r'text `"(.*?)"` could not be displayed|codepoint `"(.*?)"`', re.DOTALL)
_MOST_TRIES = 60


class PdfError(ExportError):
    """No PDF could be made; the message is one sentence with a remedy."""


def to_pdf(
    record: BuildRecord,
    sheet: Sheet,
    small: Callable[[PictureLine], str | None] = lambda line: None,
    paper: Paper = "a4",
) -> bytes:
    """The laid-out record as a PDF; its JSON export is attached as ``record.json``.

    Args:
        small: a picture of the record as a data URI of a JPEG, None where it is not shown.

    Raises:
        PdfError: it could not be typeset.
    """
    return with_fonts(
        lambda unshown: _typeset(record, sheet, small, paper, unshown) + PDF_MARK,
        "write the HTML page instead",
    )


def with_fonts(make: Callable[[set[str]], bytes], remedy: str) -> bytes:
    """What ``make`` typesets, given the scripts that no font on this machine has.

    Args:
        remedy: what to do where it cannot be typeset, as the end of a sentence.

    Raises:
        PdfError: it could not be typeset.
    """
    unshown: set[str] = set()
    for _ in range(_MOST_TRIES):
        try:
            return make(unshown)
        except typst.TypstError as fault:
            lacking = _without_glyph(str(fault)) - unshown
            if not lacking:
                raise PdfError(
                    f"The PDF could not be typeset ({str(fault)[:300]}); {remedy}."
                ) from fault
            unshown |= lacking
    raise PdfError(
        "It is written in too many scripts that no font on this machine has; install fonts for "
        f"them, or {remedy}."
    )


def _typeset(
    record: BuildRecord,
    sheet: Sheet,
    small: Callable[[PictureLine], str | None],
    paper: Paper,
    unshown: set[str],
) -> bytes:
    kept: dict[str, bytes] = {}
    laid = _Data(kept, small, unshown)
    data: dict[str, Any] = laid.of(sheet)
    if unshown:
        scripts = ", ".join(sorted(g if len(g) > 1 else written_out(g) for g in unshown))
        data["alarms"].append(
            f"No font on this machine has {scripts}: such characters are written as codes. The "
            "record inside has them as they are."
        )
    data["anchors"] = [s.anchor for s in (*sheet.sections, *sheet.appendix)]
    data["paper"] = PAPERS[paper]
    data["document_title"] = laid.text(f"Build record {sheet.title}: {sheet.product}")
    data["author"] = [laid.text(p.name) for p in record.people if p.role == "builder"]
    template = files("assistant.report").joinpath("templates", "record.typ").read_bytes()
    typeset: Any = typst.compile  # its stubs leave out that it takes files by name
    made = typeset(
        {
            "main.typ": template,
            "data.json": json.dumps(data).encode(),
            "record.json": to_json(record).encode(),
            **kept,
        },
        format="pdf",
        pdf_standards=[STANDARD],
        timestamp=_moment(record.last_at),
    )
    assert isinstance(made, bytes)
    return made


class _Data:
    """Turns blocks into JSON for the template, and drawings and pictures into files next to it."""

    def __init__(
        self,
        kept: dict[str, bytes],
        small: Callable[[PictureLine], str | None],
        unshown: set[str],
    ) -> None:
        self._kept, self._small, self._unshown = kept, small, unshown
        self._names: dict[str, str] = {}

    def of(self, value: Any) -> Any:
        """``value`` as JSON."""
        if isinstance(value, Drawing):
            return {
                "file": self._drawn(value),
                "label": self.text(value.label),
                "caption": self.text(value.caption),
                "width": value.width,
                "height": value.height,
            }
        if isinstance(value, Photo):
            return {
                "is": "Photo",
                "file": self._photo(value.line),
                "caption": self.text(value.caption),
                "alt": self.text(value.alt),
            }
        if is_dataclass(value):
            whole = {f.name: self.of(getattr(value, f.name)) for f in fields(value)}
            return {"is": type(value).__name__, **whole}
        if isinstance(value, tuple):
            return [self.of(one) for one in value]
        return self.text(value) if isinstance(value, str) else value

    def text(self, text: str) -> str:
        """Text that can be set."""
        return settable(text, self._unshown)

    def _drawn(self, drawing: Drawing) -> str:
        svg = str(drawing.svg).replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
        if self._unshown:
            svg = "".join(written_out(c) if _group(c) in self._unshown else c for c in svg)
        name = self._names.setdefault(svg, f"drawing-{len(self._names)}.svg")
        self._kept[name] = svg.encode()
        return name

    def _photo(self, line: PictureLine) -> str | None:
        uri = None if line.taken_back_at else self._small(line)
        if uri is None:
            return None
        # The library takes files of text only, so the picture goes inside an SVG.
        with Image.open(BytesIO(b64decode(uri.partition(",")[2]))) as opened:
            width, height = opened.size
        name = f"picture-{len(self._kept)}.svg"
        self._kept[name] = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
            f'width="{width}" height="{height}">'
            f'<image href="{uri}" width="{width}" height="{height}"/></svg>'
        ).encode()
        return name


def settable(text: str, unshown: set[str]) -> str:
    """Text that can be set: on one line, breakable, every character with a glyph."""
    shown = legible(text)
    if unshown:
        shown = "".join(written_out(c) if _group(c) in unshown else c for c in shown)
    return _LONG.sub(_breakable, shown)


def _breakable(match: re.Match[str]) -> str:
    word = match.group()
    return _BREAK.join(word[n : n + 12] for n in range(0, len(word), 12))


def _without_glyph(message: str) -> set[str]:
    """The groups of the characters that the message says no font has."""
    return {
        _group(c)
        for found in _NO_GLYPH.findall(message)
        for c in _unescaped(next(filter(None, found), ""))
        if not c.isascii()
    }


def _unescaped(text: str) -> str:
    """Rust writes a character that is not seen as ``\\u{e000}``."""
    return re.sub(r"\\u\{([0-9a-f]+)\}", lambda m: chr(int(m.group(1), 16)), text)


def _group(character: str) -> str:
    """The script of a letter, all of which goes where one letter does; a sign by itself."""
    if character.isascii():
        return ""
    if unicodedata.category(character)[0] in "LM":
        return unicodedata.name(character, character).partition(" ")[0]
    return character


def _moment(at: str) -> datetime:
    """The record's last moment: the same record gives the same PDF."""
    try:
        return datetime.fromisoformat(at).astimezone(UTC).replace(microsecond=0)
    except (ValueError, OverflowError):
        return datetime(2000, 1, 1, tzinfo=UTC)
