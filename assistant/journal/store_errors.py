"""Turns a database's error into a problem with a remedy."""

from __future__ import annotations

from sqlalchemy import URL
from sqlalchemy.exc import SQLAlchemyError

from assistant.journal.types import JournalError
from assistant.quantities.problem import Problem, problem

# What the driver says (lower case) -> the problem that it is. SQLite's texts are those of its
# result codes (sqlite.org/rescode.html); PostgreSQL's are of libpq and the server.
_PROBLEMS = (
    (("database or disk is full", "no space left", "disk full"),
     "store_full"),
    (("readonly database", "read-only"),
     "store_read_only"),
    (("unable to open",),
     "store_cannot_open"),
    (("is locked", "lock timeout"),
     "store_locked"),
    (("not a database",),
     "store_not_one"),
    (("malformed", "corrupt", "could not decode"),
     "store_damaged"),
    (("i/o error",),
     "store_disk_error"),
    (("password authentication", "no password", "role ", "pg_hba"),
     "store_refuses_user"),
    (("permission denied for", "permission denied to", "must be owner"),
     "store_no_right"),
    (("does not exist",),
     "store_no_table"),
    (("connection", "server closed", "timeout expired", "terminating", "shutting down",
      "starting up", "recovery mode", "could not translate host", "resolve host"),
     "store_unreachable"),
)  # fmt: skip


def explain(fault: SQLAlchemyError, url: URL) -> JournalError:
    """The error to raise for ``fault`` at the store ``url``; its password is not shown."""
    first = str(getattr(fault, "orig", None) or fault).strip().splitlines()
    said = first[0] if first else type(fault).__name__
    where = place_name(url)
    low = said.lower()
    for marks, code in _PROBLEMS:
        if any(mark in low for mark in marks):
            return JournalError(problem("not_recorded", why=problem(code, where=where)))
    return JournalError(problem("store_answered", place=where, said=said))


def place_name(url: URL) -> Problem:
    """A store's place in words that can be shown."""
    if url.get_backend_name() == "sqlite":
        return problem("place_file", name=url.database)
    if not url.host:
        return problem("place_here", name=url.database)
    return problem("place_host", name=url.database, host=url.host)
