"""A journal on a server that a bench can go on without: a full local copy, sent on later.

The server is written first, so that a conflict with another bench is met before anything is
acknowledged. When it cannot be reached, the entries are made durable in a local SQLite store with
the very hashes that the server would have given them; later they are adopted there as they are.
A commit that was cut off half-way may have succeeded: then adopting finds the entries present.

Nobody waits for what is late: an append sends a little of its own session's, and adds to what
waits while there is more. The rest goes between utterances (:meth:`BufferedJournal.news`).

A session that was recorded in two places meanwhile is set aside: neither copy is changed, nothing
is added to it from here, and every other session goes on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from time import monotonic

from assistant.journal.seal import Seal
from assistant.journal.store import SqlJournal
from assistant.journal.types import ConflictError, Draft, Entry, JournalError, SessionRow
from assistant.journal.verify import BadEntry
from assistant.quantities.problem import Told, problem

_FORKED = (
    "Session {session} was recorded in two places: on the server and in {where}. It is set aside, "
    "both copies are kept; verify both, and continue with a new session."
)
_BATCH = 1000  # entries sent in one transaction
_LITTLE = 100  # entries sent while a builder waits, or may begin to speak: some 0.1 s


@dataclass(frozen=True)
class StoreState:
    """``reachable``: the server answers. ``waiting``: entries recorded here and not yet there.

    With both, the bench is behind and catches up.
    """

    reachable: bool
    waiting: int
    told: Told


class BufferedJournal:
    """The journal protocol over a server at ``url`` with a local store at ``spool``.

    Args:
        retry_s: after a failure the server is left alone this long, in seconds, so that a
            builder does not wait for its timeout at every word.
        elapsed: seconds that never run backwards.
    """

    def __init__(
        self,
        url: str,
        spool: str | Path,
        wait_s: float = 3.0,
        retry_s: float = 15.0,
        elapsed: Callable[[], float] = monotonic,
    ) -> None:
        self._url = url
        self._where = Path(spool)
        self._local = SqlJournal(spool, wait_s)
        self._wait_s = wait_s
        self._retry_s = retry_s
        self._elapsed = elapsed
        self._remote: SqlJournal | None = None
        self._not_before = 0.0
        self._why: Told = ""
        # session -> how many of its entries the server is known to have
        self._unsent = {row.session: 0 for row in self._local.sessions()}
        self._aside: dict[str, str] = {}
        self._told = (True, False)  # that it answers, and that nothing waits
        self.flush()

    def append(self, session: str, drafts: Sequence[Draft], expect_seq: int) -> list[Entry]:
        """Append on the server, or here when it cannot be reached; see :class:`Journal`.

        Raises:
            ConflictError: another process records the session, or it is set aside.
        """
        there = self._connected() and self._send_little(session)
        self._refuse_aside(session)
        if there:
            assert self._remote is not None
            try:
                entries = self._remote.append(session, drafts, expect_seq)
            except ConflictError:
                raise
            except JournalError as fault:
                self._lost(fault)
            else:
                self._copy(session, entries)
                return entries
        entries = self._local.append(session, drafts, expect_seq)
        self._unsent.setdefault(session, expect_seq)
        return entries

    def read(self, session: str, after: int = 0) -> Iterator[Entry]:
        """Yield the entries of ``session``, bringing the copy here up to the server's.

        Of a session that is set aside, the entries on the server.
        """
        self.flush()
        if self._remote is not None:
            if session in self._aside:
                return self._remote.read(session, after)
            try:
                have = self._local.entries_of(session)
                if self._remote.entries_of(session) > have:
                    self._local.adopt(list(self._remote.read(session, have)))
            except ConflictError:
                raise
            except JournalError as fault:
                self._lost(fault)
        return self._local.read(session, after)

    def sessions(self) -> list[SessionRow]:
        """The server's sessions, newest first; this bench's own when it cannot be reached."""
        return self._whole().sessions()

    def verify(self, session: str) -> BadEntry | None:
        """Check the server's record, or this bench's copy; see :meth:`SqlJournal.verify`."""
        return self._whole().verify(session)

    def keep_seal(self, seal: Seal) -> None:
        """Keep a seal beside the record that it seals; see :meth:`SqlJournal.keep_seal`."""
        self._whole().keep_seal(seal)

    def seals(self, session: str) -> list[Seal]:
        """The seals of a record, oldest first."""
        return self._whole().seals(session)

    def flush(self) -> bool:
        """Send what waits, if the server answers; True when nothing waits any more.

        A session that was recorded in two places meanwhile is set aside, see :meth:`set_aside`.
        """
        if not self._connected():
            return False
        while self._unsent:
            if not self._send_from(min(self._unsent), _BATCH):
                return False
        return True

    def set_aside(self) -> tuple[str, ...]:
        """A sentence for each session that was recorded in two places and is left alone."""
        return tuple(self._aside[session] for session in sorted(self._aside))

    def state(self) -> StoreState:
        """Whether the server answers and how much waits here, in words for the builder."""
        waiting = sum(self._local.entries_of(s) - sent for s, sent in self._unsent.items())
        if self._remote is not None and not waiting:
            return StoreState(True, 0, problem("server_answers"))
        if self._remote is not None:
            return StoreState(True, waiting, problem("server_behind", waiting=waiting))
        return StoreState(
            False,
            waiting,
            problem("server_away", waiting=waiting, why=self._why),
        )

    def news(self) -> StoreState | None:
        """The state when it has changed since this was last asked, else None.

        Asked between utterances; a little of what waits is sent first.
        """
        if self._remote is not None and self._unsent:
            self._send_from(min(self._unsent), _LITTLE)
        state = self.state()
        now = (state.reachable, state.reachable and state.waiting > 0)
        if now == self._told:
            return None
        self._told = now
        return state

    def close(self) -> None:
        """Close both stores."""
        self._local.close()
        if self._remote is not None:
            self._remote.close()

    def _refuse_aside(self, session: str) -> None:
        if session in self._aside:
            raise ConflictError(self._aside[session])

    def _whole(self) -> SqlJournal:
        if self.flush() and self._remote is not None:
            return self._remote
        return self._local

    def _connected(self) -> bool:
        """Whether the server answers, as far as is known; asked again once the time has come."""
        if self._remote is None and self._elapsed() >= self._not_before:
            try:
                self._remote = SqlJournal(self._url, self._wait_s)
            except JournalError as fault:
                self._lost(fault)
        return self._remote is not None

    def _send_little(self, session: str) -> bool:
        """Send a little of what waits of ``session``; True when the server has all of it."""
        if session not in self._unsent:
            return True
        return self._send_from(session, _LITTLE) and session not in self._unsent

    def _send_from(self, session: str, most: int) -> bool:
        """Send up to ``most`` waiting entries of ``session``; False when the server is lost.

        A session that has none left is not among the unsent any more.
        """
        assert self._remote is not None
        try:
            here = self._local.entries_of(session)
            common = min(self._remote.entries_of(session), here)
            # From the last common entry on: adopting compares it, so a fork is seen and not joined.
            first = max(0, common - 1)
            batch = list(islice(self._local.read(session, first), most + common - first))
            self._remote.adopt(batch)
            self._unsent[session] = batch[-1].seq if batch else here
            if self._unsent[session] >= here:
                del self._unsent[session]
        except ConflictError:
            self._aside[session] = _FORKED.format(session=session, where=self._where)
            del self._unsent[session]
        except JournalError as fault:
            self._lost(fault)
            return False
        return True

    def _copy(self, session: str, entries: list[Entry]) -> None:
        # The server has the entries, so a failure here loses nothing; the copy is made whole
        # at the next append or reading.
        with suppress(JournalError):
            have = self._local.entries_of(session)
            if have < entries[0].seq - 1:  # begun on another bench
                assert self._remote is not None
                self._local.adopt(list(self._remote.read(session, have)))
            else:
                self._local.adopt(entries)

    def _lost(self, fault: JournalError) -> None:
        self._why = fault.told
        self._not_before = self._elapsed() + self._retry_s
        if self._remote is not None:
            self._remote.close()
            self._remote = None
