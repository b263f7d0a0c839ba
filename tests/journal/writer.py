"""Writes entries until it is killed, and acknowledges each append as the session would."""

from __future__ import annotations

import os

from assistant.journal.store import SqlJournal
from tests.journal.drafts import SESSION, draft, opening


def write_for_ever(place: str, acknowledge: int) -> None:
    """Go on from where the store stands; the last seq goes to descriptor ``acknowledge``."""
    journal = SqlJournal(place)
    known = journal.entries_of(SESSION)
    if known == 0:
        known = journal.append(SESSION, [opening()], 0)[-1].seq
        os.write(acknowledge, b"%d\n" % known)
    while True:
        known = journal.append(SESSION, [draft(known), draft(known), draft(known)], known)[-1].seq
        os.write(acknowledge, b"%d\n" % known)
