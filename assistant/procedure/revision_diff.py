"""What changed between two revisions of a procedure, in words, step by step."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Literal

from pydantic import BaseModel

from assistant.procedure.describe import condition_words
from assistant.procedure.listed import Gauge
from assistant.procedure.models import Procedure
from assistant.procedure.step import Condition
from assistant.quantities.amount import Amount
from assistant.shown_text import id_in_words

ChangeKind = Literal["added", "removed", "changed", "moved"]


@dataclass(frozen=True)
class RevisionChange:
    """One change; ``subject`` is a step id, ``gauge dial`` and the like, or ``procedure``."""

    kind: ChangeKind
    subject: str
    message: str

    def __str__(self) -> str:
        return f"{self.subject}: {self.message}"


def compare(before: Procedure, after: Procedure) -> list[RevisionChange]:
    """Every difference between two revisions, head first, then lists, then steps in order.

    A step is the same step when its id is the same; one that changed its kind counts as changed.
    """
    changes = [RevisionChange("changed", "procedure", m) for m in _head(before, after)]
    for section in ("gauges", "consumables", "parts"):
        changes += _section(section.removesuffix("s"), getattr(before, section),
                            getattr(after, section))  # fmt: skip
    return changes + _steps(before, after)


def in_words(before: Procedure, after: Procedure) -> str:
    """The differences as plain text, a line each; says so when there are none."""
    changes = compare(before, after)
    heading = (
        f"{after.title}: revision {before.revision} to revision {after.revision}"
        if before.revision != after.revision
        else f"{after.title}: both are revision {after.revision}"
    )
    if not changes:
        return heading + "\nNothing changed.\n"
    body = [str(c) for c in changes]
    if before.revision == after.revision:
        body.append("procedure: the text changed but the revision did not; raise the revision.")
    return "\n".join([heading, *body]) + "\n"


def _head(before: Procedure, after: Procedure) -> list[str]:
    old, new = _flat(before), _flat(after)
    return _differences(old, new)


def _flat(procedure: Procedure) -> dict[str, object]:
    return {
        "id": procedure.id,
        "title": procedure.title,
        "revision": procedure.revision,
        "language": procedure.language,
        "governing title": procedure.governing.title,
        "governing revision": procedure.governing.revision,
        "governing date": procedure.governing.date,
        "variants": procedure.applicability.variants,
        "parts covered": procedure.applicability.parts,
    }


def _section(
    name: str, before: Sequence[BaseModel], after: Sequence[BaseModel]
) -> list[RevisionChange]:
    old = {str(i): item for item in before if (i := getattr(item, "id", None))}
    new = {str(i): item for item in after if (i := getattr(item, "id", None))}
    changes: list[RevisionChange] = []
    for key, item in old.items():
        subject = f"{name} {key}"
        if key not in new:
            changes.append(RevisionChange("removed", subject, "removed"))
            continue
        changes += [
            RevisionChange("changed", subject, m)
            for m in _differences(_fields(item), _fields(new[key]))
        ]
    added = [k for k in new if k not in old]
    return changes + [RevisionChange("added", f"{name} {k}", "added") for k in added]


def _steps(before: Procedure, after: Procedure) -> list[RevisionChange]:
    old, new = [s.id for s in before.steps], [s.id for s in after.steps]
    moved = _moved([s for s in old if s in new], [s for s in new if s in old])
    changes = [
        RevisionChange("removed", s.id, f"removed (it was '{s.title}')")
        for s in before.steps
        if s.id not in new
    ]
    for place, step in enumerate(after.steps):
        if step.id not in old:
            where = f"after '{new[place - 1]}'" if place else "as the first step"
            changes.append(RevisionChange("added", step.id, f"added {where} ('{step.title}')"))
            continue
        if step.id in moved:
            where = f"now after '{new[place - 1]}'" if place else "now the first step"
            was = old.index(step.id)
            origin = f"was after '{old[was - 1]}'" if was else "was the first step"
            changes.append(RevisionChange("moved", step.id, f"moved: {where}, {origin}"))
        messages = _differences(_fields(before.step(step.id)), _fields(step))
        changes += [RevisionChange("changed", step.id, m) for m in messages]
    return changes


def _moved(old: list[str], new: list[str]) -> set[str]:
    """Steps outside the longest runs that kept their order."""
    matcher = SequenceMatcher(a=old, b=new, autojunk=False)
    kept = {old[i] for m in matcher.get_matching_blocks() for i in range(m.a, m.a + m.size)}
    return set(old) - kept


def _fields(item: BaseModel) -> dict[str, object]:
    return {id_in_words(name).strip(): getattr(item, name) for name in type(item).model_fields}


def _differences(old: Mapping[str, object], new: Mapping[str, object]) -> list[str]:
    messages = []
    for name in dict.fromkeys([*old, *new]):
        one, other = old.get(name), new.get(name)
        if one == other:
            continue
        if _empty(one):
            messages.append(f"{name} added: {_show(other)}")
        elif _empty(other):
            messages.append(f"{name} removed (it was {_show(one)})")
        elif isinstance(one, tuple) and isinstance(other, tuple):
            messages += _lists(name, one, other)
        elif _parts_of_one(one, other):
            assert isinstance(one, BaseModel)
            assert isinstance(other, BaseModel)
            messages += [f"{name} {m}" for m in _differences(_fields(one), _fields(other))]
        else:
            messages.append(f"{name} changed from {_show(one)} to {_show(other)}")
    return messages


def _lists(name: str, old: tuple[object, ...], new: tuple[object, ...]) -> list[str]:
    gone = [_show(x) for x in old if x not in new]
    come = [_show(x) for x in new if x not in old]
    named = all(isinstance(x, str) for x in (*old, *new))
    if not named or len(gone) + len(come) > len(old) or not (gone or come):
        return [f"{name} changed from {_show(old)} to {_show(new)}"]
    messages = [f"{name}: {text} removed" for text in gone]
    return messages + [f"{name}: {text} added" for text in come]


def _parts_of_one(one: object, other: object) -> bool:
    """Whether both are the same part of a step, such as its adapter; a condition reads whole."""
    return (
        isinstance(one, BaseModel) and type(one) is type(other) and not isinstance(one, Condition)
    )


def _plain(value: object) -> str:
    return value if isinstance(value, str) else _show(value)


def _empty(value: object) -> bool:
    return value is None or value in ((), "")


def _show(value: object) -> str:
    if isinstance(value, Amount):
        return str(value)
    if isinstance(value, Condition):
        return condition_words(value)
    if isinstance(value, Gauge):
        return value.id
    if isinstance(value, tuple):
        return "[" + ", ".join(_show(v) for v in value) + "]"
    if isinstance(value, Mapping):
        return ", ".join(f"{k} = {_show(v)}" for k, v in value.items()) or "nothing"
    if isinstance(value, BaseModel):
        named = getattr(value, "say", None) or getattr(value, "id", None)
        return (
            str(named)
            if named
            else ", ".join(f"{k} {_plain(v)}" for k, v in _fields(value).items() if not _empty(v))
        )
    return f"'{value}'" if isinstance(value, str) else str(value)
