"""A stored session replayed: from its beginning, or from a snapshot that matches the journal."""

from __future__ import annotations

from functools import cache
from typing import Any

from pydantic import TypeAdapter, ValidationError

from assistant.dialogue.context import Context
from assistant.dialogue.core import advance
from assistant.dialogue.effects import Record
from assistant.dialogue.events import AnyEvent
from assistant.dialogue.facts import Fact
from assistant.dialogue.kinds import AnyFact
from assistant.dialogue.state import State
from assistant.journal.types import Entries
from assistant.quantities.problem import Told
from assistant.session.earlier_sentences import as_stored
from assistant.session.snapshots import SnapshotFolder, StateSnapshot


@cache  # these take time to make, and a new session has no need of them
def _events() -> TypeAdapter[AnyEvent]:
    return TypeAdapter(AnyEvent)


@cache
def _facts() -> TypeAdapter[AnyFact]:
    return TypeAdapter(AnyFact)


@cache
def _told() -> TypeAdapter[Told]:
    return TypeAdapter(Told)


class ReplayError(RuntimeError):
    """A stored session does not replay to what was recorded."""


def rebuild(
    context: Context, journal: Entries, session_id: str, snapshots: SnapshotFolder | None = None
) -> tuple[State, int]:
    """Replay a stored session; returns its state and last sequence number.

    Starts at a snapshot that matches the journal, otherwise at the beginning.

    Every fact that the replay yields must be the very fact that was stored with its event.

    Raises:
        ReplayError: the two differ, so the record must not be continued.
    """
    found = None if snapshots is None else snapshots.load(session_id, context)
    if found is not None and _matches_journal(found, journal, session_id):
        return _replay(context, journal, session_id, found.state, found.seq)
    return _replay(context, journal, session_id, State(), 0)


def _matches_journal(found: StateSnapshot, journal: Entries, session_id: str) -> bool:
    there = next(iter(journal.read(session_id, found.seq - 1)), None)
    return there is not None and (there.seq, there.hash) == (found.seq, found.hash)


def _replay(
    context: Context, journal: Entries, session_id: str, state: State, seq: int
) -> tuple[State, int]:
    pending: list[Fact] = []
    for entry in journal.read(session_id, seq):
        seq = entry.seq
        if entry.kind == "fact":
            if not pending or not _same(pending.pop(0), entry.body):
                raise ReplayError(_differs(session_id, seq))
        elif entry.kind == "event":
            if pending:
                raise ReplayError(_differs(session_id, seq))
            try:
                event = _events().validate_python(entry.body)
            except ValidationError:
                raise ReplayError(_differs(session_id, seq)) from None
            state, effects = advance(context, state, event)
            pending = [e.fact for e in effects if isinstance(e, Record)]
    if pending:
        raise ReplayError(_differs(session_id, seq))
    return state, seq


def _same(fact: Fact, stored: dict[str, Any]) -> bool:
    """Whether ``stored`` is this fact, as far as the version that stored it had its fields."""
    ours = fact.model_dump(mode="json")
    if ours == stored:
        return True
    try:
        kept = _facts().validate_python(stored).model_dump(mode="json")
    except ValidationError:
        return False
    # what the version that stored it did not know yet cannot differ
    known = {name: value for name, value in ours.items() if name in stored}
    return _earlier_words({n: kept[n] for n in known}, ours) == known


def _earlier_words(kept: dict[str, Any], ours: dict[str, Any]) -> dict[str, Any]:
    """``kept`` in today's words: a value without limits used to be called "in" limits."""
    match kept, ours:
        case {"judgement": {"verdict": "in"} as judged}, {"judgement": {"verdict": "no_limit"}}:
            return {**kept, "judgement": {**judged, "verdict": "no_limit"}}
        case {"findings": [*sentences]}, {"findings": [*problems]}:
            # they used to be English sentences, whatever the language of the session
            told = [as_stored(_told().validate_python(one)) for one in problems]
            return {**kept, "findings": problems if sentences == told else sentences}
        case {"what": str()}, {"kind": "acknowledged", "of": "torque" | "loosening"}:
            # our own words for it; the numbers in them stand in the announcement before it
            return {**kept, "what": ours["what"]}
    return kept


def _differs(session_id: str, seq: int) -> str:
    return (
        f"Session {session_id} cannot be resumed: entry {seq} of its record is not what this "
        "version of the assistant or this file of the procedure gives. The record is kept as it "
        "is; resume with the version and procedure that made it."
    )
