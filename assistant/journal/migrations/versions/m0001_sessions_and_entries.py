"""The first schema: sessions and their entries."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the two tables."""
    op.create_table(
        "session",
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=True),
        sa.Column("session", sa.Text, nullable=False, unique=True),
        sa.Column("job", sa.Text, nullable=False),
        sa.Column("procedure_id", sa.Text, nullable=False),
        sa.Column("opened_at", sa.Text, nullable=False),
        sa.Column("last_at", sa.Text, nullable=False),
        sa.Column("entries", sa.Integer, nullable=False),
        sa.Column("last_hash", sa.Text, nullable=False),
    )
    op.create_table(
        "entry",
        sa.Column("session", sa.Text, nullable=False),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("clip", sa.Text),
        sa.Column("engine", sa.Text),
        sa.Column("prev", sa.Text, nullable=False),
        sa.Column("hash", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("session", "seq"),
    )
