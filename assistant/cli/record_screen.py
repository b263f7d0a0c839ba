"""A build record on the terminal: the same sheet as on paper, deviations first."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from assistant.cli.terminal import one_line
from assistant.report.model import BuildRecord
from assistant.report.sheet.blocks import (
    Block,
    Cell,
    Drawings,
    Heading,
    Item,
    Paragraph,
    Photo,
    Table,
)
from assistant.report.sheet.integrity import Integrity
from assistant.report.sheet.layout import lay_out
from assistant.shown_table import table

_LABEL = 14  # characters
_SHOWN = ("appendix-a", "appendix-b")  # what does not count, what was done again
_WIDEST = 110  # a longer line is hard to read


def shown(record: BuildRecord, integrity: Integrity | None = None, across: int = 100) -> str:
    """The record in lines, ``across`` characters at most."""
    sheet = lay_out(record, integrity)
    across = min(across, _WIDEST)
    lines = [
        f"{one_line(sheet.title)}  {one_line(sheet.product)}",
        f"{sheet.outcome.upper()}  {one_line(sheet.outcome_detail)}",
        *(f"! {one_line(alarm)}" for alarm in sheet.alarms),
        *_headed("Deviations"),
        *_blocks(sheet.deviations, across),
        *_headed("Skipped, not done, out of date"),
        *_items(sheet.left, across),
        *_headed("What was built"),
        *_items(sheet.facts, across),
        *_items(sheet.glance, across),
    ]
    again = tuple(s for s in sheet.appendix if s.anchor in _SHOWN)
    for section in (*sheet.sections, *again):
        lines += [*_headed(section.title), *_blocks(section.blocks, across)]
    lines += ["", "Times, course of the work and hashes: record --pdf FILE or --html FILE."]
    lines += [f"Session {one_line(sheet.running)}. {sheet.times}", sheet.govern]
    return "\n".join(lines)


def _headed(title: str) -> list[str]:
    return ["", title, "─" * len(title)]


def _items(items: Iterable[Item], across: int) -> list[str]:
    lines: list[str] = []
    for item in items:
        mark = "! " if item.alarm else "  "
        text = textwrap.wrap(one_line(item.text), across - _LABEL - 2) or [""]
        lines.append(f"{mark}{item.label:{_LABEL}}{text[0]}")
        lines += [" " * (_LABEL + 2) + more for more in text[1:]]
    return lines


def _blocks(blocks: Iterable[Block], across: int) -> list[str]:
    lines: list[str] = []
    for block in blocks:
        match block:
            case Table():
                lines += _table(block, across)
            case Paragraph(text=text):
                lines += textwrap.wrap(one_line(text), across)
            case Heading(text=text, small=small):
                lines += ["", one_line(f"{text}  {small}".strip())]
            case Drawings():
                pass  # the table under them says the same
            case Photo(caption=caption):
                lines += textwrap.wrap(one_line(caption), across)
    return lines


def _table(block: Table, across: int) -> list[str]:
    drawn = {n for n, _ in enumerate(block.columns) if any(r.cells[n].drawing for r in block.rows)}
    keep = [n for n, _ in enumerate(block.columns) if n not in drawn]
    rows = [
        [("! " if row.alarm and n == 0 else "") + _cell(row.cells[n]) for n in keep]
        for row in block.rows
    ]
    heads = [block.columns[n].title for n in keep]
    return table(heads, [[one_line(cell) for cell in row] for row in rows], across)


def _cell(cell: Cell) -> str:
    text = f"({cell.text})" if cell.struck else cell.text
    sound = "sound" if cell.sound else ""
    parts = "; ".join(part for part in (text, cell.small, sound) if part)
    return parts.replace(".; ", ". ")  # a sentence has its stop already
