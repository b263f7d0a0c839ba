"""What must hold before a value out of limits is released: whoever decides knows the reason."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.dialogue.facts import DispositionRecorded
from tests.safety.trace import Said, Trace

Breach = tuple[int, str]


def a_value_is_released_only_once_its_reason_was_heard(trace: Trace) -> Iterator[Breach]:
    """A typed reason is read out with the disposition, a recorded one is played behind it.

    Of a recording that cannot be played it is said that the builder must be asked.
    """
    for at, fact in trace.facts(DispositionRecorded):
        if fact.released_by is None:
            continue
        since = trace.last(
            at, DispositionRecorded, step=fact.step, position=fact.position, released_by=None
        )
        until = trace.cause(at)
        named = trace.context.language.prompt(f"name_disposition_{fact.disposition}")
        heard = None if since is None else trace.heard(since, until, named, fact.reason)
        if heard is None:
            yield at, f"{fact.step} {fact.position} was released before its reason was read out"
        elif not fact.reason and fact.clip and since is not None:
            played = any(
                isinstance(move, Said) and move.whole and move.sound == fact.clip
                for move in trace.moves[since:until]
            )
            missed = trace.context.language.prompt("sound_missed")
            if not played and trace.heard(since, until, missed) is None:
                yield at, f"{fact.step} {fact.position} was released before its reason was played"
