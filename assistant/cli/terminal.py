"""Writes to the terminal: control codes in what others wrote are shown, never obeyed."""

from __future__ import annotations

import os
import sys
import unicodedata
from collections.abc import Iterable, Sequence
from typing import TextIO

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


def print_folded(text: str, out: TextIO, indent: int) -> None:
    """Print a line to ``out``; on a terminal it is :func:`folded` to its width."""
    shown, width = plain(text), _columns(out)
    print(shown if width is None else folded(shown, width, indent), file=out, flush=True)


def _columns(out: TextIO) -> int | None:
    """How many columns the terminal has that ``out`` is; None where it is none."""
    if not out.isatty():
        return None
    try:
        return os.get_terminal_size(out.fileno()).columns or None
    except OSError:
        return None


def shows_what_is_typed(out: TextIO) -> bool:
    """Whether what is typed is seen on ``out`` already: both are a terminal."""
    return out.isatty() and sys.stdin is not None and sys.stdin.isatty()


def folded(text: str, width: int, indent: int) -> str:
    """``text`` with line breaks between words, so that no line is over ``width`` columns.

    Later lines begin with ``indent`` spaces. A word that is longer than a line stays whole, so that
    it can be copied. A wide letter, such as a Hangul syllable, takes two columns.
    """
    start = len(text) - len(text.lstrip())
    lines, line = [], text[:start]
    for word in text[start:].split(" "):
        longer = f"{line} {word}" if line.strip() else line + word
        if _columns_of(longer) > width and line.strip():
            lines.append(line)
            longer = " " * indent + word
        line = longer
    return "\n".join((*lines, line))


def _columns_of(text: str) -> int:
    return sum(2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


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
