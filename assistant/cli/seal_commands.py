"""Commands about a record's integrity: verify, seal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

import typer

from assistant.cli.errors import AskedError, plainly
from assistant.cli.terminal import tell
from assistant.cli.workplace import latest_session, open_store, utc_now
from assistant.journal.known_key import first_key
from assistant.journal.location import default_location
from assistant.journal.outside import read_head, read_key
from assistant.journal.seal import Seal, broken_seal, fingerprint, seal_record, signing_key
from assistant.journal.types import JournalError
from assistant.report.evidence import look_at
from assistant.report.export_file import ExportError, target_of, write_export

app = typer.Typer()

STORE = typer.Option(None, "--store", help="Record store: a file, or a database URL.")
SESSION = typer.Argument("", help="The session's name; the latest one when left out.")


@app.command("verify")
@plainly(JournalError, AskedError)
def verify(
    session: str = SESSION,
    key: list[str] = typer.Option(
        [],
        "--key",
        help="The sealing key that the record must have: a fingerprint or a seal's file.",
    ),
    head: list[str] = typer.Option(
        [],
        "--head",
        help="A copy of the chain's head to compare with: ENTRIES:HASH or a seal's file.",
    ),
    store: str | None = STORE,
) -> None:
    """Say whether a record has been altered, and name the first entry that was."""
    keys, heads = {read_key(text) for text in key}, [read_head(text) for text in head]
    kept = open_store(store)
    name = session or latest_session(kept)
    bad = kept.journal.verify(name)
    if bad is not None:
        tell(bad.sentence)
        raise typer.Exit(1)
    hashes = {entry.seq: entry.hash for entry in kept.journal.read(name)}
    seals = kept.journal.seals(name)
    found = look_at(kept.journal.read(name), kept.clips, kept.pictures)
    faults = [*found.faults]
    for one in heads:
        faults += _unlike(name, one.entries, one.hash, one.seal, hashes)
    faults += _wrong_keys(name, seals, keys)
    for sentence in faults:
        tell(sentence)
    if faults:
        raise typer.Exit(1)
    if found.sounds_away:
        tell(f"Sounds not in this store's folder 'clips' (archived?): {found.sounds_away}.")
    for seal in seals:
        tell(
            f"Sealed at entry {seal.entries} on {seal.sealed_at} with the key "
            f"{fingerprint(seal.public_key)}."
        )
    tell(f"Record {name} is as it was written.")
    last = max(hashes)
    tell(f"Its head, to be written down elsewhere: {last}:{hashes[last]}")


def _unlike(
    name: str, entries: int, digest: str, seal: Seal | None, hashes: Mapping[int, str]
) -> Iterator[str]:
    """Where the record differs from a head that was put away."""
    if seal is not None:
        if seal.session != name:
            yield f"The seal given is of {seal.session}, not of {name}."
            return
        broken = broken_seal(seal, hashes.get(entries))
        if broken is not None:
            yield broken.sentence
    elif entries not in hashes:
        yield f"The record {name} is cut short: entry {entries} of the head given is missing."
    elif hashes[entries] != digest:
        yield f"The record {name} was rewritten: entry {entries} does not match the head given."


def _wrong_keys(name: str, seals: Sequence[Seal], wanted: set[str]) -> Iterator[str]:
    """A sentence for each seal whose key is not the one wanted, or not the one seen first."""
    if wanted and not seals:
        yield f"The record {name} is not sealed, so no key can be compared."
    for seal in seals:
        its = fingerprint(seal.public_key)
        if wanted:
            if its not in wanted:
                yield f"The record {name} is sealed with the key {its}, not with the one given."
            continue
        first = first_key(default_location().parent, seal.public_key, utc_now().isoformat())
        if its != first.fingerprint:
            yield (
                f"Warning: {name} is sealed with the key {its}, not with the key "
                f"{first.fingerprint} that was first seen on this machine on "
                f"{first.seen_at[:10]}. Whoever rewrites a record can seal it again with another "
                f"key. Where you know that key from elsewhere, check with --key '{its}'."
            )


@app.command("seal")
@plainly(JournalError, AskedError, ExportError)
def seal(
    session: str = SESSION,
    to: Path | None = typer.Option(None, "--to", help="Also write the seal to this file."),
    store: str | None = STORE,
) -> None:
    """Sign the end of a record, so that cutting it short or rewriting it shows too."""
    kept = open_store(store)
    name = session or latest_session(kept)
    bad = kept.journal.verify(name)
    if bad is not None:
        raise JournalError(f"{bad.sentence} A damaged record is not sealed.")
    last = None
    for entry in kept.journal.read(name):
        last = entry
    assert last is not None  # a session has at least its opening
    target = None if to is None else target_of(to, "seal", kept.own)
    folder, now = default_location().parent, utc_now().isoformat()
    key = signing_key(folder)
    made = seal_record(name, last.seq, last.hash, now, key)
    first = first_key(folder, made.public_key, now)
    kept.journal.keep_seal(made)
    if to is not None and target is not None:
        write_export(to, target, (made.model_dump_json(indent=2) + "\n").encode())
        tell(f"Written: {to}")
    its = fingerprint(made.public_key)
    tell(f"Sealed: {name}, {last.seq} entries. Keep a copy of the seal away from here.")
    tell(f"Head: {last.seq}:{last.hash}")
    tell(f"Key: {its}")
    if its != first.fingerprint:
        tell(f"This is not the key {first.fingerprint} first seen on this machine.", err=True)
