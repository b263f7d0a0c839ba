"""Commands about build records: list, show, export, verify, seal."""

from __future__ import annotations

import os
from pathlib import Path

import typer

from assistant.cli.failing import fail, plainly
from assistant.cli.record_screen import shown, trend_text
from assistant.cli.terminal import one_line, tell
from assistant.cli.workplace import AskedError, Store, latest_session, open_store, utc_now
from assistant.journal.place import default_location
from assistant.journal.seal import seal_record, signing_key
from assistant.journal.types import JournalError
from assistant.report.evidence import look_at
from assistant.report.export import to_csv, to_json
from assistant.report.html import Integrity, PictureView, SealLine, to_html
from assistant.report.model import BuildRecord, PictureLine
from assistant.report.pdf import PdfError, print_pdf
from assistant.report.record import build_record
from assistant.report.thumbnail import thumbnail
from assistant.report.trend import matching, trend

app = typer.Typer()

STORE = typer.Option(None, "--store", help="Record store: a file, or a database URL.")
SESSION = typer.Argument("", help="The session's name; the latest one when left out.")


@app.command("records")
@plainly(JournalError)
def records(
    find: str = typer.Option("", "--find", help="Only those with these words in job or date."),
    store: str | None = STORE,
) -> None:
    """List every session in the store, the newest first."""
    rows = matching(open_store(store).journal.sessions(), find)
    if not rows:
        tell("There is no such record." if find else "Nothing has been recorded yet.")
    for row in rows:
        opened, last = row.opened_at[:16].replace("T", " "), row.last_at[:16].replace("T", " ")
        tell(
            f"{one_line(row.session):40} {one_line(row.job):12} {one_line(row.procedure_id):24} "
            f"{opened} to {last} {row.entries:6} entries"
        )


@app.command("trend")
@plainly(JournalError, AskedError)
def trend_command(
    procedure: str = typer.Argument(..., help="The procedure's name."),
    step: str = typer.Argument(..., help="The measuring step's id."),
    position: str = typer.Option("", "--position", help="One of its positions."),
    store: str | None = STORE,
) -> None:
    """Show one dimension over all builds, with Shewhart's limits for single values."""
    journal = open_store(store).journal
    rows = sorted(journal.sessions(), key=lambda row: row.opened_at)
    built = [build_record(journal.read(r.session)) for r in rows if r.procedure_id == procedure]
    found = trend([r for r in built if not r.demo_clock], procedure, step, position)
    if not found.points:
        raise AskedError(f"No finished build of '{procedure}' has a single value for '{step}'.")
    tell(trend_text(found))


@app.command("record")
@plainly(JournalError, AskedError, PdfError)
def record(
    session: str = SESSION,
    csv: Path | None = typer.Option(None, "--csv", help="Write one row a reading to this file."),
    json: Path | None = typer.Option(None, "--json", help="Write the whole record to this file."),
    html: Path | None = typer.Option(None, "--html", help="Write a printable page to this file."),
    pdf: Path | None = typer.Option(None, "--pdf", help="Print that page to this file."),
    store: str | None = STORE,
) -> None:
    """Show a build record, or write it to a file."""
    kept = open_store(store)
    name = session or latest_session(kept)
    found = build_record(kept.journal.read(name))
    if csv is not None:
        _write(csv, to_csv(found))
    if json is not None:
        _write(json, to_json(found))
    if html is not None:
        _write(html, _page(kept, name, found, html))
    if pdf is not None:
        print_pdf(_page(kept, name, found, pdf), pdf)
        tell(f"Written: {pdf}")
    if csv is None and json is None and html is None and pdf is None:
        tell(shown(found))


def _page(kept: Store, name: str, found: BuildRecord, page: Path) -> str:
    bad = kept.journal.verify(name)
    seals = tuple(
        SealLine(entries=s.entries, sealed_at=s.sealed_at, public_key=s.public_key)
        for s in kept.journal.seals(name)
    )

    def link(clip: str) -> str | None:
        path = kept.clips.path(clip)
        return os.path.relpath(path, page.resolve().parent) if path.exists() else None

    def picture(line: PictureLine) -> PictureView:
        path = kept.pictures.path(line.file, line.media)
        if not path.exists():
            return PictureView()
        small = thumbnail(path.read_bytes())
        return PictureView(small=small, link=os.path.relpath(path, page.resolve().parent))

    integrity = Integrity(bad=None if bad is None else bad.sentence, seals=seals)
    return to_html(found, integrity, link, picture)


def _write(path: Path, text: str) -> None:
    try:
        path.write_text(text, encoding="utf-8", newline="")
    except OSError as fault:
        fail(f"{path}: cannot be written ({fault.strerror}); choose another place.")
    tell(f"Written: {path}")


@app.command("verify")
@plainly(JournalError, AskedError)
def verify(session: str = SESSION, store: str | None = STORE) -> None:
    """Say whether a record has been altered, and name the first entry that was."""
    kept = open_store(store)
    name = session or latest_session(kept)
    bad = kept.journal.verify(name)
    if bad is not None:
        tell(bad.sentence)
        raise typer.Exit(1)
    found = look_at(kept.journal.read(name), kept.clips, kept.pictures)
    for sentence in found.faults:
        tell(sentence)
    if found.faults:
        raise typer.Exit(1)
    if found.sounds_away:
        tell(f"Sounds not in this store's folder 'clips' (archived?): {found.sounds_away}.")
    tell(f"Record {name} is as it was written.")


@app.command("seal")
@plainly(JournalError, AskedError)
def seal(
    session: str = SESSION,
    to: Path | None = typer.Option(None, "--to", help="Also write the seal to this file."),
    store: str | None = STORE,
) -> None:
    """Sign the end of a record, so that cutting it short or writing it anew shows too."""
    kept = open_store(store)
    name = session or latest_session(kept)
    bad = kept.journal.verify(name)
    if bad is not None:
        raise JournalError(f"{bad.sentence} A damaged record is not sealed.")
    last = None
    for entry in kept.journal.read(name):
        last = entry
    assert last is not None  # a session has at least its opening
    key = signing_key(default_location().parent)
    made = seal_record(name, last.seq, last.hash, utc_now().isoformat(), key)
    kept.journal.keep_seal(made)
    if to is not None:
        _write(to, made.model_dump_json(indent=2) + "\n")
    tell(f"Sealed: {name}, {last.seq} entries. Keep a copy of the seal away from here.")
