"""What alembic runs: the migrations on the connection that it is handed."""

from __future__ import annotations

from alembic import context

from assistant.journal.migrate import VERSION_TABLE

# The caller has begun a transaction and ends it: all migrations happen, or none.
context.configure(
    connection=context.config.attributes["connection"],
    version_table=VERSION_TABLE,
    transactional_ddl=False,
)
context.run_migrations()
