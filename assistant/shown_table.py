"""Tables and progress for a terminal, or for a file that their text is sent to."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from io import StringIO

from rich.console import Console
from rich.progress import (
    BarColumn,
    DownloadColumn,
    Progress,
    TaskID,
    TextColumn,
    TimeRemainingColumn,
)
from rich.table import Table
from rich.text import Text

_ENDLESS = 100_000  # columns: a file has no edge to break lines at


def table(headings: Sequence[str], rows: Iterable[Sequence[str]], width: int | None) -> list[str]:
    """The lines of a table of plain text; cells are shown as they are, marks and all.

    ``width``: of the terminal, in columns; longer cells go on below. None: for a file, which gets
    each row on one line and no headings, so that other programs can read it.
    """
    shown = Table(box=None, show_header=width is not None, pad_edge=False, padding=(0, 2, 0, 0))
    for heading in headings:
        shown.add_column(Text(heading), no_wrap=width is None, overflow="fold")
    for row in rows:
        shown.add_row(*map(Text, row))
    out = StringIO()
    Console(file=out, width=width or _ENDLESS, color_system=None, legacy_windows=False).print(
        shown, soft_wrap=width is None
    )
    return [line.rstrip() for line in out.getvalue().splitlines() if line.strip()]


def terminal_width() -> int | None:
    """Columns of the terminal that standard output is; None where it is none."""
    return Console().width if sys.stdout.isatty() else None


class Transfers:
    """Shows how far each file has come: bars on a terminal, a line for each whole file elsewhere.

    Use as a context manager; call it with a file's name, the bytes that are there, and all.
    """

    def __init__(self) -> None:
        self._console = Console(stderr=True)
        self._bars: Progress | None = None
        self._known: dict[str, TaskID] = {}
        if self._console.is_terminal:
            self._bars = Progress(
                TextColumn("{task.description}", markup=False), BarColumn(), DownloadColumn(),
                TimeRemainingColumn(), console=self._console,
            )  # fmt: skip

    def __call__(self, name: str, done: int, size: int) -> None:
        """``done`` of ``size`` bytes of the file ``name`` are there."""
        if self._bars is None:
            if done >= size:
                print(f"{name}: {size / 1e6:.1f} MB", file=sys.stderr)
            return
        if name not in self._known:
            self._known[name] = self._bars.add_task(name, total=size)
        self._bars.update(self._known[name], completed=done)

    def __enter__(self) -> Transfers:
        if self._bars is not None:
            self._bars.start()
        return self

    def __exit__(self, *_: object) -> None:
        if self._bars is not None:
            self._bars.stop()
