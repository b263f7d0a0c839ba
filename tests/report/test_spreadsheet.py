"""The spreadsheet, read back by openpyxl: numbers are numbers, and nothing runs."""

from __future__ import annotations

from io import BytesIO
from typing import Any

from openpyxl import load_workbook

from assistant.report.export import COLUMNS
from assistant.report.record import build_record
from assistant.report.sheet.layout import lay_out
from assistant.report.spreadsheet import to_xlsx
from tests.report.deviating import deviating
from tests.report.hostile import hostile
from tests.report.sample import sample


def read(entries: list[Any]) -> Any:
    record = build_record(entries)
    return load_workbook(BytesIO(to_xlsx(record, lay_out(record))))


def test_every_reading_stands_in_it_with_numbers_as_numbers() -> None:
    book = read(deviating())
    tab = book["Readings"]
    assert [c.value for c in tab[1]] == list(COLUMNS)
    record = build_record(deviating())
    assert tab.max_row == 1 + len(record.readings)
    value = COLUMNS.index("value")
    shown = [row[value] for row in tab.iter_rows(min_row=2)]
    assert [float(c.value) for c in shown][:2] == [34.99, 35.9]
    assert {c.data_type for c in shown} == {"n"}
    assert shown[0].number_format == "0.00"
    assert tab.freeze_panes == "A2"
    assert tab.auto_filter.ref


def test_each_fastener_has_its_setting_what_it_got_and_its_turn() -> None:
    rows = list(read(deviating())["Tightening"].iter_rows(min_row=2, values_only=True))
    assert len(rows) == 13  # six in each of two passes, and one that was missed
    last = rows[-1]
    assert last[:4] == ("Hub bolts", 2, 6, "bolt six")
    assert [float(last[n]) for n in (4, 6, 8)] == [11.0, 12.65, 60.0]
    assert sum(row[12] == "missed" for row in rows) == 1


def test_page_one_says_whether_it_was_accepted() -> None:
    cells = [c for row in read(sample())["Page one"].iter_rows(values_only=True) for c in row if c]
    assert "Not accepted" in cells
    assert "NOT RELEASED" in cells


def test_no_cell_is_a_formula_and_no_control_code_is_in_it() -> None:
    for entries in (sample(), hostile()):  # the sample has a note that begins with "="
        for tab in read(entries):
            for row in tab.iter_rows():
                assert all(cell.data_type != "f" for cell in row)
    notes = [r[2] for r in read(hostile())["Notes"].iter_rows(min_row=2, values_only=True)]
    assert "\\u202e" in notes[0]
    assert "\x1b" not in notes[0]
