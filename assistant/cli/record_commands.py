"""Commands about build records: list, show, export."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import Annotated

import typer

from assistant.cli.errors import plainly
from assistant.cli.terminal import tell, tell_table
from assistant.cli.workplace import AskedError, Store, latest_session, open_store
from assistant.journal.types import JournalError
from assistant.report.export import to_csv, to_json
from assistant.report.export_file import ExportError, ExportKind, target_of, write_export
from assistant.report.record import build_record
from assistant.report.trend import trend
from assistant.report.trend_missing import why_none
from assistant.shared_options import options_as_objects

app = typer.Typer()


PIPED = 110  # characters; a pipe has no width


class PaperSize(Enum):
    """The papers that a record is set for."""

    a4 = "a4"
    letter = "letter"


STORE = typer.Option(None, "--store", help="Record store: a file, or a database URL.")
SESSION = typer.Argument("", help="The session's name; the latest one when left out.")


@app.command("records")
@plainly(JournalError)
def records(
    find: str = typer.Option(
        "", "--find", help="Only sessions with these words: job, person, serial, state, date."
    ),
    left_open: bool = typer.Option(
        False, "--open", help="Only sessions that are not finished or not released."
    ),
    most: int = typer.Option(50, "--most", min=1, help="How many to list, newest first."),
    store: str | None = STORE,
) -> None:
    """List every session in the store, the newest first."""
    from assistant.cli.record_list import HEADS, listed

    journal = open_store(store).journal
    rows = journal.sessions()
    found = []
    for row in rows:
        one = listed(journal, row)
        if one.has(find) and not (left_open and one.closed):
            found.append(one)
        if len(found) > most:
            break
    if not found:
        tell("There is no such record." if rows else "Nothing has been recorded yet.")
        return
    tell_table(HEADS, [one.cells for one in found[:most]])
    if len(found) > most:
        tell(f"The newest {most}; there are more: --find WORDS or --most NUMBER.", err=True)


@app.command("trend")
@plainly(JournalError, AskedError, ExportError)
def trend_command(
    procedure: str = typer.Argument(..., help="The procedure's name."),
    step: str = typer.Argument(..., help="The measuring step's id."),
    position: str = typer.Option("", "--position", help="One of its positions."),
    chart: Path | None = typer.Option(
        None, "--chart", help="Draw the I-MR chart into this file (SVG)."
    ),
    store: str | None = STORE,
) -> None:
    """Show one dimension over all builds, with control limits for single values."""
    from assistant.cli.trend_text import trend_text

    kept = open_store(store)
    journal = kept.journal
    rows = sorted(journal.sessions(), key=lambda row: row.opened_at)
    built = [build_record(journal.read(r.session)) for r in rows if r.procedure_id == procedure]
    found = trend([r for r in built if not r.demo_clock], procedure, step, position)
    if not found.points:
        raise AskedError(why_none(built, procedure, step, position))
    if chart is not None:
        from assistant.report.trend_chart import chart_file

        target = target_of(chart, "trend", kept.own)
        write_export(chart, target, chart_file(found).encode())
        tell(f"Written: {chart}")
        return
    from assistant.shown_table import terminal_width

    tell(trend_text(found, terminal_width() or PIPED))


_CSV = "Write the readings to this file as CSV, one per row."


@dataclass(frozen=True, kw_only=True)
class ExportOptions:
    """The files to write a record to."""

    csv: Annotated[Path | None, typer.Option("--csv", help=_CSV)] = None
    json: Annotated[
        Path | None, typer.Option("--json", help="Write the whole record to this file as JSON.")
    ] = None
    html: Annotated[
        Path | None, typer.Option("--html", help="Write a printable HTML page to this file.")
    ] = None
    pdf: Annotated[
        Path | None, typer.Option("--pdf", help="Write the record as a PDF, to print.")
    ] = None
    paper: Annotated[PaperSize, typer.Option("--paper", help="Paper of the PDF.")] = PaperSize.a4
    xlsx: Annotated[
        Path | None, typer.Option("--xlsx", help="Write a spreadsheet to this file.")
    ] = None


@app.command("record")
@plainly(JournalError, AskedError, ExportError)
@options_as_objects
def record(
    session: str = SESSION,
    *,
    to: ExportOptions,
    store: str | None = STORE,
) -> None:
    """Show a build record, or write it to a file."""
    kept = open_store(store)
    name = session or latest_session(kept)
    found = build_record(kept.journal.read(name))

    # Templates, typesetting and pictures are loaded for those who want them alone.
    def page_at(place: Path) -> bytes:
        from assistant.cli.record_page import page_of

        return page_of(kept, name, found, place).encode()

    def on_paper(_: Path) -> bytes:
        from assistant.cli.record_page import paper_of

        return paper_of(kept, name, found, to.paper.value)

    def as_spreadsheet(_: Path) -> bytes:
        from assistant.cli.record_page import spreadsheet_of

        return spreadsheet_of(kept, name, found)

    asked: list[tuple[ExportKind, Path | None, Callable[[Path], bytes]]] = [
        ("csv", to.csv, lambda page: to_csv(found).encode()),
        ("json", to.json, lambda page: to_json(found).encode()),
        ("html", to.html, page_at),
        ("pdf", to.pdf, on_paper),
        ("xlsx", to.xlsx, as_spreadsheet),
    ]
    _export(kept, [(kind, file, make) for kind, file, make in asked if file is not None])
    if all(file is None for _, file, _ in asked):
        from assistant.cli.record_checked import integrity_of
        from assistant.cli.record_screen import shown
        from assistant.shown_table import terminal_width

        tell(shown(found, integrity_of(kept, name, found), terminal_width() or PIPED))


def _export(kept: Store, asked: list[tuple[ExportKind, Path, Callable[[Path], bytes]]]) -> None:
    """Write what was asked for; where one place will not do, nothing is written at all.

    Raises:
        ExportError: an export may not be written to its place.
    """
    targets = [target_of(to, kind, kept.own) for kind, to, _ in asked]
    if len(set(targets)) < len(targets):
        raise ExportError("Two exports are asked for in one file; give each its own.")
    for (_, to, make), target in zip(asked, targets, strict=True):
        write_export(to, target, make(target))
        tell(f"Written: {to}")
