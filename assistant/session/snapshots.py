"""The state of a session, saved next to the store so that resuming need not replay all of it.

It is only a cache: the journal alone is the truth. A snapshot is used only if

- the journal has the same hash at the same entry, and
- the code, the words and the procedure are the same as when it was made.

Otherwise the whole session is replayed. A snapshot may be deleted at any time.
"""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from assistant.dialogue.context import Context
from assistant.dialogue.state import State
from assistant.output_file import write_whole
from assistant.own_code import code_sha256

_ROOMS = ("dialogue", "language", "procedure", "quantities", "session")


@dataclass(frozen=True)
class StateSnapshot:
    """``state`` after entry ``seq``, whose hash was ``hash``."""

    seq: int
    hash: str
    state: State


class SnapshotFolder:
    """One file for each session in ``folder``; a damaged or foreign file is ignored."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def load(self, session: str, context: Context) -> StateSnapshot | None:
        """The snapshot of ``session`` that this code made under ``context``, if there is one."""
        try:
            kept = json.loads(self._path(session).read_text(encoding="utf-8"))
            from assistant.session.state_text import from_plain  # slow to import

            whole = str(kept["whole"])
            if kept["sum"] != _sum(whole):
                return None
            plain = json.loads(whole)
            if (plain["session"], plain["made_by"]) != (session, _made_by(context)):
                return None
            state = from_plain(plain["state"])
            return StateSnapshot(int(plain["seq"]), str(plain["hash"]), state)
        except (OSError, ValueError, TypeError, KeyError, RecursionError):
            return None

    def save(self, session: str, context: Context, snapshot: StateSnapshot) -> None:
        """Replace the previous snapshot; if that fails, the previous one stays."""
        from assistant.session.state_text import to_plain  # slow to import

        try:
            state = to_plain(snapshot.state)
        except TypeError:
            return  # the work goes on; resuming replays all of it
        whole = json.dumps(
            {
                "session": session,
                "made_by": _made_by(context),
                "seq": snapshot.seq,
                "hash": snapshot.hash,
                "state": state,
            }
        )
        kept = json.dumps({"sum": _sum(whole), "whole": whole})
        with suppress(OSError):
            write_whole(self._path(session), kept.encode())

    def _path(self, session: str) -> Path:
        # A session's name may be anything; its hash is a name that every file system takes.
        return self._folder / f"{sha256(session.encode('utf-8', 'replace')).hexdigest()}.json"


def _sum(whole: str) -> str:
    return sha256(whole.encode()).hexdigest()


def _made_by(context: Context) -> str:
    """The code, the words, the policy and the procedure that lead from events to a state."""
    procedure = context.procedure
    own = f"{code_sha256(_ROOMS)} {context.policy!r} {procedure.model_dump_json()}"
    return _sum(own)
