"""Every step kind and every fact has its one place in the record."""

from __future__ import annotations

from typing import get_args

from assistant.dialogue.facts import SharedFact as Shared
from assistant.dialogue.kinds import AnyFact
from assistant.procedure.kinds import STEP_KINDS
from assistant.report.kinds import KINDS


def members(union: object) -> list[type]:
    """The classes of a union, of one that has a discriminator too."""
    inner = get_args(union)
    return list(get_args(inner[0])) if get_args(inner[0]) else list(inner)


def test_every_step_kind_is_in_the_record() -> None:
    assert tuple(kind.kind for kind in KINDS) == STEP_KINDS


def test_every_fact_is_recorded_by_one_kind_or_is_shared() -> None:
    owned = [fact for kind in KINDS for fact in kind.facts]
    assert sorted(f.__name__ for f in [*owned, *get_args(Shared)]) == sorted(
        f.__name__ for f in members(AnyFact)
    )
