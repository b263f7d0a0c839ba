"""A record as a spreadsheet (Office Open XML, ISO/IEC 29500): numbers as numbers, text as text.

No cell is a formula, whatever others wrote into it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from decimal import Decimal
from io import BytesIO
from zipfile import ZipFile

from openpyxl import Workbook
from openpyxl.cell import Cell as SheetCell
from openpyxl.styles import Alignment, Font, PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from assistant.quantities.amount import Amount
from assistant.report.export import COLUMNS, reading_row
from assistant.report.export_file import XLSX_MARK
from assistant.report.model import BuildRecord
from assistant.report.sheet.blocks import Item, Sheet, Table
from assistant.report.written import readable
from assistant.shown_text import id_in_words, legible

_NUMBER = re.compile(r"-?\d+(\.\d+)?")
_NUMERIC = frozenset(
    ("value", "upper", "lower_limit", "upper_limit", "converted_value", "converted_upper",
     "converted_lower_limit", "converted_upper_limit", "uncertainty")
)  # fmt: skip
_WIDEST = 60  # characters
_LONGEST = 32_000  # what a cell may hold is 32,767


def to_xlsx(record: BuildRecord, sheet: Sheet) -> bytes:
    """Page one, every reading (as in the CSV), every fastener, steps and notes, a tab each."""
    book = Workbook()
    book.properties.title = legible(f"Build record {sheet.title}")
    book.properties.creator = "assembly-build-record"
    first = book.active
    assert isinstance(first, Worksheet)
    first.title = "Page one"
    _fill(first, ("", ""), _front(sheet), heads=False)
    readings = [
        [reading_row(record, r).get(name) or "" for name in COLUMNS] for r in record.readings
    ]
    numeric = {n for n, name in enumerate(COLUMNS) if name in _NUMERIC}
    _fill(book.create_sheet("Readings"), COLUMNS, readings, numeric)
    _fill(book.create_sheet("Tightening"), _FASTENER, _fasteners(record), {1, 2, 4, 6, 8})
    steps = [
        [str(s.number), s.title, s.reference, id_in_words(s.outcome),
         id_in_words(s.reason), str(round(s.seconds))]
        for s in record.steps
    ]  # fmt: skip
    head = ("number", "step", "manual", "outcome", "reason", "seconds open")
    _fill(book.create_sheet("Steps"), head, steps, {0, 5})
    notes = [[n.at, n.step or "", n.text, n.taken_back_at or ""] for n in record.notes]
    _fill(book.create_sheet("Notes"), ("at", "step", "note", "taken back"), notes)
    return _marked(book)


_FASTENER = (
    "step", "pass", "order", "fastener", "set", "set unit", "at fastener", "at fastener unit",
    "turn", "turn unit", "at", "void since", "void why", "work", "moved",
)  # fmt: skip
_MOVED = {None: "", False: "no", True: "yes"}


def _fasteners(record: BuildRecord) -> Iterable[list[str]]:
    titles = {s.id: s.title for s in record.steps}
    for line in record.tightenings:
        for one in line.passes:
            for done in one.tightened:
                yield [
                    titles.get(line.step, line.step), str(one.number), str(done.order),
                    done.fastener, *_amount(done.torque),
                    *_amount(done.at_fastener or done.torque), *_amount(one.turn), done.at,
                    done.void_since or "", done.void_why, one.work, _MOVED[done.moved],
                ]  # fmt: skip


def _amount(value: Amount | None) -> tuple[str, str]:
    if value is None:
        return "", ""
    told = readable(value)
    return told.number(), told.unit


def _front(sheet: Sheet) -> Iterable[Sequence[str]]:
    yield "Build record", sheet.title
    yield "", sheet.product
    yield sheet.outcome, sheet.outcome_detail
    for alarm in sheet.alarms:
        yield "Mind", alarm
    yield from _items((*sheet.facts, *sheet.left, *sheet.glance))
    for block in sheet.deviations:
        if isinstance(block, Table):
            yield "", ""
            yield [column.title for column in block.columns]
            yield from ([cell.text for cell in row.cells] for row in block.rows)
    yield "", ""
    yield "Session", sheet.running
    yield "SHA-256", sheet.whole_hash
    yield "", sheet.govern


def _items(items: Iterable[Item]) -> Iterable[tuple[str, str]]:
    return ((item.label, item.text) for item in items)


def _fill(
    tab: Worksheet,
    head: Sequence[str],
    rows: Iterable[Sequence[str]],
    numeric: Iterable[int] = (),
    heads: bool = True,
) -> None:
    numbers = frozenset(numeric)
    widths: dict[int, int] = {}
    if heads:
        for column, name in enumerate(head, 1):
            cell = _write(tab, 1, column, name, False)
            cell.font = Font(bold=True)
            cell.fill = PatternFill("solid", fgColor="EEEEEE")
            widths[column] = len(name)
        tab.freeze_panes = "A2"
    for number, row in enumerate(rows, 2 if heads else 1):
        for column, text in enumerate(row, 1):
            _write(tab, number, column, text, column - 1 in numbers)
            widths[column] = max(widths.get(column, 0), len(text))
    for column, width in widths.items():
        tab.column_dimensions[get_column_letter(column)].width = min(_WIDEST, width + 2)
    if heads:
        tab.auto_filter.ref = tab.dimensions


def _write(tab: Worksheet, row: int, column: int, text: str, number: bool) -> SheetCell:
    cell = tab.cell(row, column)
    assert isinstance(cell, SheetCell)
    if number and _NUMBER.fullmatch(text):
        cell.value = Decimal(text)
        places = len(text.partition(".")[2])
        cell.number_format = f"0.{'0' * places}" if places else "0"
        return cell
    cell.value = legible(text)[:_LONGEST]
    cell.data_type = "s"  # never a formula, whatever it begins with
    cell.alignment = Alignment(vertical="top", wrap_text=len(text) > _WIDEST)
    return cell


def _marked(book: Workbook) -> bytes:
    """The file, with a mark at its end that tells a former export."""
    out = BytesIO()
    book.save(out)
    with ZipFile(out, "a") as packed:
        packed.comment = XLSX_MARK
    return out.getvalue()
