"""Writes entries until it is killed; prints each acknowledged number. Run as a process."""

from __future__ import annotations

import sys

from assistant.journal.store import SqlJournal
from tests.journal.drafts import SESSION, draft, opening


def main(place: str) -> None:
    """Go on from where the store stands, for ever."""
    journal = SqlJournal(place)
    known = journal.entries_of(SESSION)
    if known == 0:
        known = journal.append(SESSION, [opening()], 0)[-1].seq
        print(known, flush=True)
    while True:
        known = journal.append(SESSION, [draft(known), draft(known), draft(known)], known)[-1].seq
        print(known, flush=True)


if __name__ == "__main__":
    main(sys.argv[1])
