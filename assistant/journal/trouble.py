"""Turns a database's error into one sentence with a remedy."""

from __future__ import annotations

from sqlalchemy import URL
from sqlalchemy.exc import SQLAlchemyError

from assistant.journal.types import JournalError

# What the driver says (lower case) -> what a mechanic is told. SQLite's texts are those of its
# result codes (sqlite.org/rescode.html); PostgreSQL's are of libpq and the server.
_SENTENCES = (
    (("database or disk is full", "no space left", "disk full"),
     "there is no room left at {where}; make room and go on"),
    (("readonly database", "read-only"),
     "{where} may not be written to; mend its rights or choose another place"),
    (("unable to open",),
     "{where} cannot be opened or made; check that the folder exists and may be written to"),
    (("is locked", "lock timeout"),
     "another program holds {where}; close it and go on"),
    (("not a database",),
     "{where} is not a record store; name another file and leave this one alone"),
    (("malformed", "corrupt", "could not decode"),
     "{where} is damaged; put it aside, restore the last copy, and run verify on it"),
    (("i/o error",),
     "the disk that holds {where} reports an error; put a copy aside and change the disk"),
    (("password authentication", "no password", "role ", "pg_hba"),
     "{where} does not let this user in; check user and password"),
    (("does not exist",),
     "{where} or a table in it does not exist; make the database and go on"),
    (("connection", "server closed", "timeout expired", "terminating", "shutting down",
      "starting up", "recovery mode", "could not translate host", "resolve host"),
     "{where} cannot be reached; check that the server runs and the cable is in"),
)  # fmt: skip


def explain(fault: SQLAlchemyError, url: URL) -> JournalError:
    """The error to raise for ``fault`` at the store ``url``; its password is not shown."""
    first = str(getattr(fault, "orig", None) or fault).strip().splitlines()
    said = first[0] if first else type(fault).__name__
    where = place_name(url)
    low = said.lower()
    for marks, sentence in _SENTENCES:
        if any(mark in low for mark in marks):
            return JournalError(f"Nothing was recorded: {sentence.format(where=where)}.")
    return JournalError(f"Nothing was recorded: {where} answered '{said}'; mend that and go on.")


def place_name(url: URL) -> str:
    """A store's place in words that can be shown."""
    if url.get_backend_name() == "sqlite":
        return f"the file {url.database}"
    return f"the database {url.database} on {url.host or 'this machine'}"
