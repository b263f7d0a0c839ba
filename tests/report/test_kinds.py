"""Every step kind and every fact has its one place in the record."""

from __future__ import annotations

from typing import get_args

from assistant.dialogue.facts import AnyFact
from assistant.procedure.models import AnyStep
from assistant.report.kinds import KINDS
from assistant.report.sorting import Shared


def members(union: object) -> list[type]:
    """The classes of a union, of one that has a discriminator too."""
    inner = get_args(union)
    return list(get_args(inner[0])) if get_args(inner[0]) else list(inner)


def test_every_step_kind_is_in_the_record() -> None:
    kinds = {get_args(step.model_fields["kind"].annotation)[0] for step in members(AnyStep)}
    assert {kind.kind for kind in KINDS} == kinds
    assert len(KINDS) == len(kinds)


def test_every_fact_is_recorded_by_one_kind_or_is_shared() -> None:
    owned = [fact for kind in KINDS for fact in kind.facts]
    assert sorted(f.__name__ for f in [*owned, *get_args(Shared)]) == sorted(
        f.__name__ for f in members(AnyFact)
    )
