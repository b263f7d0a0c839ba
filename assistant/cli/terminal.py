"""The edge to the terminal: what others wrote is shown there and never obeyed there."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence

import typer

from assistant.shown_text import TURNED, written_out

LONGEST_NAME = 100
_KEPT = "\n\t"


def plain(text: str) -> str:
    """``text`` with each control code written out (``\\x1b``), so that no terminal obeys it.

    Line breaks and tabs stay.
    """
    if text.isprintable():
        return text
    return "".join(written_out(c) if _obeyed(c) else c for c in text)


def one_line(text: str) -> str:
    """As :func:`plain`, with line breaks and tabs written out too: for a cell of a list."""
    return plain(text).replace("\n", "\\n").replace("\t", "\\t")


def is_line(text: str) -> bool:
    """Whether ``text`` is a name that fits a line as it stands."""
    return len(text) <= LONGEST_NAME and one_line(text) == text


def tell(text: str = "", *, err: bool = False) -> None:
    """Print a line to the terminal; everything that this command shows goes through here."""
    typer.echo(plain(text), err=err)


def tell_table(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Print a table: with headings and folded cells on a terminal, a plain row a line elsewhere."""
    from assistant.shown_table import table, terminal_width  # not for those who show none

    cells = [[one_line(cell) for cell in row] for row in rows]
    for line in table(headings, cells, terminal_width()):
        tell(line)


def _obeyed(character: str) -> bool:
    if character in _KEPT:
        return False
    return unicodedata.category(character) in ("Cc", "Cs") or character in TURNED
