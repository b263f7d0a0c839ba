"""Tables fold their cells on a terminal, and keep a row on a line everywhere else."""

from __future__ import annotations

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.console import Console

from assistant import shown_table
from assistant.shown_table import Transfers, table

HEADINGS = ("Session", "Job")
LONG = "Kettlebeck KB-2 inspection cover, checked with fixed gauges " * 3
words = st.text(st.characters(codec="utf-8", categories=("L", "N", "P")), min_size=1, max_size=40)


@given(st.lists(st.tuples(words, words), min_size=1, max_size=5))
def test_in_a_file_each_row_is_a_line_with_every_cell_whole(rows: list[tuple[str, str]]) -> None:
    lines = table(HEADINGS, rows, None)
    assert len(lines) == len(rows)
    for line, row in zip(lines, rows, strict=True):
        assert row[0] in line
        assert row[1] in line
        assert line == line.rstrip()


def test_a_long_cell_is_not_broken_in_a_file() -> None:
    assert table(HEADINGS, [("a", LONG * 20)], None) == [f"a  {(LONG * 20).rstrip()}"]


def test_columns_stand_below_each_other_whatever_the_script() -> None:
    """A Hangul syllable takes two columns (Unicode Standard Annex 11, East Asian Width)."""
    first, second = table(HEADINGS, [("케틀벡", "x"), ("KB-217", "x")], None)
    assert cell_len(first) == cell_len(second)
    assert len(first) < len(second)


@pytest.mark.parametrize("width", [20, 40, 80])
def test_on_a_terminal_no_line_is_wider_and_nothing_is_lost(width: int) -> None:
    lines = table(HEADINGS, [("kb2", LONG)], width)
    assert all(cell_len(line) <= width for line in lines)
    assert lines[0].split() == ["Session", "Job"]
    shown = "".join("".join(lines[1:]).split())
    assert shown == "kb2" + "".join(LONG.split())


def test_what_others_wrote_is_no_mark_up() -> None:
    assert table(HEADINGS, [("[red]kb2[/red]", ":smile:")], None) == ["[red]kb2[/red]  :smile:"]


def test_where_there_is_no_terminal_a_file_is_told_of_at_its_end(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with Transfers() as show:
        for done in (1_000_000, 2_000_000, 3_000_000):
            show("model.bin", done, 3_000_000)
    assert capsys.readouterr().err == "model.bin: 3.0 MB\n"


def test_on_a_terminal_there_is_a_bar_for_each_file(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = io.StringIO()
    terminal = Console(file=screen, force_terminal=True, width=80)
    monkeypatch.setattr(shown_table, "Console", lambda **settings: terminal)
    with Transfers() as show:
        show("a.bin", 1_000_000, 3_000_000)
        show("[b].bin", 2_000_000, 2_000_000)
        show("a.bin", 3_000_000, 3_000_000)
    assert "a.bin" in screen.getvalue()
    assert "[b].bin" in screen.getvalue()
    assert "3.0/3.0 MB" in screen.getvalue()
