"""The journal's protocol: append-only entries, one durable transaction at a time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal, Protocol

from assistant.language.english import in_english
from assistant.quantities.problem import Told

EntryKind = Literal["event", "fact", "said"]


@dataclass(frozen=True)
class Draft:
    """An entry to be appended. ``body`` is JSON-ready; ``at`` is ISO 8601 with offset."""

    kind: EntryKind
    at: str
    body: dict[str, Any]
    clip: str | None = None
    engine: str | None = None


@dataclass(frozen=True)
class Entry(Draft):
    """An entry as stored: ``seq`` counts from 1 within a session; ``hash`` chains to ``prev``."""

    session: str = ""
    seq: int = 0
    prev: str = ""
    hash: str = ""


@dataclass(frozen=True)
class SessionRow:
    """One line of the list of records."""

    session: str
    job: str
    procedure_id: str
    opened_at: str
    last_at: str
    entries: int


class JournalError(RuntimeError):
    """The store cannot record; ``told`` says why, and what to do about it."""

    def __init__(self, told: Told) -> None:
        self.told = told
        super().__init__(told)

    def __str__(self) -> str:
        """One English sentence with a remedy."""
        return in_english(self.told)


class ConflictError(JournalError):
    """The session has other entries than the caller knows: another process records it."""


class Entries(Protocol):
    """Stored sessions, to be read."""

    def read(self, session: str, after: int = 0) -> Iterator[Entry]:
        """Yield the entries of ``session`` in order, those after entry ``after``.

        Raises:
            JournalError: there is no such session.
        """


class Journal(Entries, Protocol):
    """An append-only store of sessions."""

    def append(self, session: str, drafts: Sequence[Draft], expect_seq: int) -> list[Entry]:
        """Append ``drafts`` in one durable transaction.

        ``expect_seq`` is the last sequence number that the caller knows (0 for a new session).

        Raises:
            JournalError: the store failed, or another process has appended meanwhile; nothing
                of this call is stored.
        """

    def sessions(self) -> list[SessionRow]:
        """All sessions, newest first."""
