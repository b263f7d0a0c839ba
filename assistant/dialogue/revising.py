"""The procedure's file was revised while the job rested: what the builder must know of it.

The job continues with the procedure that it began with; what was done by the
older text is the builder's to look at.
"""

from __future__ import annotations

from collections.abc import Sequence

from assistant.dialogue.events import Revised
from assistant.dialogue.facts import RevisionNoticed
from assistant.dialogue.turn import Turn
from assistant.procedure.models import Procedure
from assistant.procedure.revision_diff import compare

_NAMED = 3  # more titles than this cannot be listened to; the screen shows them all


def revision_of(before: Procedure, after: Procedure, sha256: str) -> Revised:
    """How ``after`` (the file with this SHA-256) differs from ``before``."""
    changes = compare(before, after)
    known = {s.id for s in before.steps}

    def ids(*kinds: str) -> tuple[str, ...]:
        return tuple(dict.fromkeys(c.subject for c in changes if c.kind in kinds))

    titles = {s.id: s.title for s in after.steps}
    changed = set(ids("changed", "moved")) & known & set(titles)
    return Revised(
        revision=after.revision,
        sha256=sha256,
        changed=tuple(s.id for s in before.steps if s.id in changed),
        removed=tuple(s for s in ids("removed") if s in known),
        added=tuple(titles[s] for s in ids("added") if s in titles and s not in known),
        head=any(c.subject not in known | set(titles) for c in changes),
    )


def noticed(turn: Turn, revised: Revised) -> RevisionNoticed:
    """What changed, split by whether the step was done already."""
    done = turn.state.outcomes
    return RevisionNoticed(
        revision=revised.revision,
        sha256=revised.sha256,
        done=tuple(s for s in revised.changed if done.get(s) == "done"),
        ahead=tuple(s for s in revised.changed if done.get(s) != "done"),
        removed=revised.removed,
        added=revised.added,
    )


def say_revised(turn: Turn, revised: Revised) -> None:
    """Say which steps were revised, those done already first, and ask to acknowledge."""
    fact = noticed(turn, revised)
    titles = {s.id: s.title for s in turn.context.procedure.steps}
    parts = [
        _part(turn, "revised_done", [titles[s] for s in fact.done]),
        _part(turn, "revised_ahead", [titles[s] for s in fact.ahead]),
        _part(turn, "revised_removed", [titles[s] for s in fact.removed]),
        _part(turn, "revised_added", fact.added),
        turn.words("revised_head") if revised.head else "",
    ]
    turn.say(
        "revised",
        tone="caution",
        revision=turn.context.language.say_spelling(revised.revision),
        parts=" ".join(p for p in parts if p),
    )


def _part(turn: Turn, key: str, titles: Sequence[str]) -> str:
    if not titles:
        return ""
    named = ", ".join(titles[:_NAMED])
    if len(titles) > _NAMED:
        named = turn.words("revised_more", titles=named, count=len(titles) - _NAMED)
    return turn.words(key, count=len(titles), titles=named)
