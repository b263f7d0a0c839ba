"""The tables of the store. Migrations create them; this is how the code sees them."""

from __future__ import annotations

from sqlalchemy import Column, Integer, MetaData, PrimaryKeyConstraint, Table, Text

metadata = MetaData()

session_table = Table(
    "session",
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=True),  # order of opening
    Column("session", Text, nullable=False, unique=True),
    Column("job", Text, nullable=False),
    Column("procedure_id", Text, nullable=False),
    Column("opened_at", Text, nullable=False),
    Column("last_at", Text, nullable=False),
    Column("entries", Integer, nullable=False),  # how many there must be
    Column("last_hash", Text, nullable=False),
)
"""One row a session. Its count and last hash make a record that was cut short visible."""

entry_table = Table(
    "entry",
    metadata,
    Column("session", Text, nullable=False),
    Column("seq", Integer, nullable=False),
    Column("kind", Text, nullable=False),
    Column("at", Text, nullable=False),
    Column("body", Text, nullable=False),  # canonical JSON, kept to the letter
    Column("clip", Text),
    Column("engine", Text),
    Column("prev", Text, nullable=False),
    Column("hash", Text, nullable=False),
    PrimaryKeyConstraint("session", "seq"),
)

seal_table = Table(
    "seal",
    metadata,
    Column("session", Text, nullable=False),
    Column("entries", Integer, nullable=False),
    Column("document", Text, nullable=False),  # the seal as JSON
    PrimaryKeyConstraint("session", "entries"),
)
