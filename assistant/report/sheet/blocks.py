"""What a laid-out record is made of. Paper and page differ in how they set these, in nothing else.

All text is plain text of any content; whoever sets it must not read markup in it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from markupsafe import Markup

from assistant.report.lines.job import PictureLine


@dataclass(frozen=True)
class Drawing:
    """A picture in SVG, its size in CSS pixels, and what it shows in words."""

    svg: Markup
    width: float
    height: float
    label: str
    caption: str = ""


@dataclass(frozen=True)
class Cell:
    """``small`` is a second, quieter line; ``sound`` the id of a clip that can be played."""

    text: str = ""
    small: str = ""
    drawing: Drawing | None = None
    sound: str | None = None
    strong: bool = False
    struck: bool = False


@dataclass(frozen=True)
class Column:
    """``width`` is a share of what the columns of fixed width (``fixed``, mm) leave."""

    title: str
    width: float = 1.0
    fixed: float = 0.0


@dataclass(frozen=True)
class Row:
    """The first cell names the row. ``alarm``: it must not be missed."""

    cells: tuple[Cell, ...]
    alarm: bool = False
    anchor: str = ""


@dataclass(frozen=True)
class Table:
    name: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Paragraph:
    text: str
    strong: bool = False


@dataclass(frozen=True)
class Heading:
    """A heading within a section; ``small`` is beside it."""

    text: str
    small: str = ""


@dataclass(frozen=True)
class Drawings:
    """Pictures side by side, as many as go."""

    drawings: tuple[Drawing, ...]


@dataclass(frozen=True)
class Photo:
    """A picture of the work with its caption; how it is shown says whoever sets it."""

    line: PictureLine
    caption: str
    alt: str


Block = Table | Paragraph | Heading | Drawings | Photo


@dataclass(frozen=True)
class Section:
    """``anchor`` is where links lead to."""

    title: str
    anchor: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Item:
    """A labelled line on page one; ``anchor`` links to the rest of it."""

    label: str
    text: str
    anchor: str = ""
    alarm: bool = False


@dataclass(frozen=True)
class Sheet:
    """The whole record. ``running`` is on every page."""

    title: str
    product: str
    running: str
    short: str
    whole_hash: str
    outcome: str
    outcome_detail: str
    outcome_tone: Literal["good", "bad", "open"]
    alarms: tuple[str, ...]
    facts: tuple[Item, ...]
    deviations: tuple[Block, ...]
    left: tuple[Item, ...]
    glance: tuple[Item, ...]
    signatures: tuple[str, ...]
    code: Drawing
    sections: tuple[Section, ...]
    appendix: tuple[Section, ...]
    govern: str
    lang: str = "en"
    times: str = ""
