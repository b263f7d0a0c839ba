"""A connection to PostgreSQL that gives up on a server that accepts a query and never answers.

Otherwise a pulled cable, a frozen machine or a held lock keeps the program, and the builder,
waiting for minutes.
"""

from __future__ import annotations

from typing import Any

from psycopg import Connection, OperationalError
from psycopg.errors import _WaitTimeout


class AnsweringConnection(Connection[Any]):
    """Waits ``answer_s`` seconds for each answer; then it is closed, and says so."""

    answer_s = 15.0

    def wait(self, gen: Any, interval: float = 0.1, timeout: float | None = None) -> Any:
        """Wait for an answer.

        Raises:
            OperationalError: none came in time.
        """
        try:
            return super().wait(gen, interval, self.answer_s if timeout is None else timeout)
        except _WaitTimeout:
            if timeout is not None:  # somebody else's limit
                raise
            self.pgconn.finish()
            raise OperationalError("timeout expired: the server did not answer") from None


def connected(answer_s: float, *arguments: Any, **named: Any) -> AnsweringConnection:
    """A connection as ``psycopg.connect`` makes it, which waits ``answer_s`` for each answer."""
    made = AnsweringConnection.connect(*arguments, **named)
    made.answer_s = answer_s
    return made
