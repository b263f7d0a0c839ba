"""Tables on the terminal, in plain text: what others wrote is text there and nothing else."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterable, Sequence
from io import StringIO

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table
from rich.text import Text

from assistant.cli.terminal import one_line

_PIPED = 200  # characters; a pipe has no width, and its lines are cut by others
_NARROWEST = 60


def width() -> int:
    """Characters across: the terminal's, or plenty where the output goes elsewhere."""
    if not sys.stdout.isatty():
        return _PIPED
    return max(_NARROWEST, shutil.get_terminal_size().columns)


def table(
    heads: Sequence[str], rows: Iterable[Sequence[str]], across: int, whole: frozenset[int]
) -> str:
    """``rows`` under ``heads``; the columns in ``whole`` are never cut or broken."""
    made = Table(box=SIMPLE_HEAD, pad_edge=False, show_edge=False)
    shown = [[one_line(cell) for cell in row] for row in rows]
    for number, head in enumerate(heads):
        longest = max((len(row[number]) for row in shown), default=0)
        made.add_column(
            head,
            no_wrap=number in whole,
            min_width=longest if number in whole else None,
            overflow="fold",
        )
    for row in shown:
        made.add_row(*(Text(cell) for cell in row))
    out = StringIO()
    Console(file=out, width=across, no_color=True, force_terminal=False).print(made)
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines()).strip("\n")
