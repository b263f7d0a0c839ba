"""Reads a plain step list, Markdown or CSV, into rows: the raw material of a starter procedure."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass, field

_ITEM = re.compile(r"^\s*(?:\d{1,3}[.)]|[-*+])\s+(?:\[[ xX]\]\s+)?(?P<text>\S.*)$")
_HEADING = re.compile(r"^#{1,6}\s+(?P<text>\S.*?)\s*#*$")
_CAUTION = re.compile(
    r"^[>*_\s]*(caution|warning|danger)\b[*_]*\s*[:!.-]\s*[*_]*\s*", re.IGNORECASE
)
MOST_STEPS = 2_000  # ten times a long procedure; its file would be refused as too large
LONGEST_LINE = 5_000
COLUMNS = (
    "kind", "title", "say", "caution", "unit", "lower", "upper", "gauge", "target", "tool",
    "fasteners", "duration", "reference",
)  # fmt: skip


class StepListError(ValueError):
    """The step list cannot be used; one sentence with the line and a remedy."""


@dataclass(frozen=True)
class StepRow:
    """One line of the list: ``cells`` by column name; a caution is a row of kind ``caution``."""

    line: int
    cells: dict[str, str] = field(default_factory=dict)


def read_markdown(text: str) -> tuple[str, list[StepRow]]:
    """(title, rows): the first heading is the title, every list item and caution is a row.

    A line that starts with ``Caution:``, ``Warning:`` or ``Danger:``, in a list or not, is a
    caution. An indented line without a marker continues the row above it.

    Raises:
        StepListError: there is no list item in the text.
    """
    title, rows = "", list[StepRow]()
    open_row = False
    for number, line in enumerate(text.splitlines(), 1):
        _check_bounds(number, len(rows), len(line))
        heading, item = _HEADING.match(line), _ITEM.match(line)
        words = item.group("text") if item else line.strip()
        caution = _CAUTION.match(words)
        if heading:
            title, open_row = title or heading.group("text"), False
        elif caution and words[caution.end() :].strip():
            rows.append(StepRow(number, {"kind": "caution", "say": _plain(words[caution.end() :])}))
            open_row = True
        elif item:
            rows.append(StepRow(number, {"say": _plain(words)}))
            open_row = True
        elif not line.strip():
            open_row = False
        elif open_row and line.startswith((" ", "\t")):
            say = rows[-1].cells["say"]
            _check_bounds(number, 0, len(say) + len(words))
            rows[-1].cells["say"] = f"{say} {_plain(words)}"
    if not rows:
        raise StepListError(
            "The Markdown text holds no list item; write each step as '1. Clean the bore.'."
        )
    return title, rows


def _check_bounds(line: int, rows: int, longest: int) -> None:
    if rows > MOST_STEPS:
        raise StepListError(
            f"Line {line}: the list holds more than {MOST_STEPS} steps; cut it to one procedure."
        )
    if longest > LONGEST_LINE:
        raise StepListError(
            f"Line {line}: a text here is longer than {LONGEST_LINE} characters; shorten it."
        )


def _plain(text: str) -> str:
    return re.sub(r"[*_`]{1,3}(\S(?:.*?\S)?)[*_`]{1,3}", r"\1", text).strip()


def read_csv(text: str) -> list[StepRow]:
    """Rows of a CSV text (RFC 4180) with a heading line; columns as in ``COLUMNS``, ``say`` needed.

    Raises:
        StepListError: the heading is missing or unknown, or a row is longer than the heading.
    """
    reader = csv.reader(io.StringIO(text), strict=True)
    try:
        heading = [h.strip().lower() for h in next(reader, [])]
        _check_heading(heading)
        rows: list[StepRow] = []
        for record in reader:
            _check_bounds(reader.line_num, len(rows), max(map(len, record), default=0))
            if len(record) > len(heading):
                raise StepListError(
                    f"Line {reader.line_num} has more cells than the heading; put quotes round "
                    "text that holds a comma."
                )
            cells = {h: c.strip() for h, c in zip(heading, record, strict=False) if c.strip()}
            if cells:
                rows.append(StepRow(reader.line_num, cells))
    except csv.Error as fault:
        raise StepListError(f"Line {reader.line_num} is not CSV ({fault}); check quotes.") from None
    if not rows:
        raise StepListError("The CSV text holds no step below its heading; add a line for each.")
    for row in rows:
        if "say" not in row.cells and "title" not in row.cells:
            raise StepListError(f"Line {row.line} has no words; fill in 'say' or 'title'.")
    return rows


def _check_heading(heading: list[str]) -> None:
    unknown = [h for h in heading if h not in COLUMNS]
    if unknown or not {"say", "title"} & set(heading):
        named = f"the column '{unknown[0]}' is unknown" if unknown else "there is no column 'say'"
        raise StepListError(
            f"The first line of the CSV must name the columns, and {named}; "
            f"use some of: {', '.join(COLUMNS)}."
        )
    if len(set(heading)) != len(heading):
        raise StepListError("A column is named twice in the first line; keep one of them.")
