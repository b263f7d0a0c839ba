"""Every step kind has its one place on the board."""

from __future__ import annotations

from typing import get_args

from assistant.board.kinds import KINDS
from assistant.procedure.models import AnyStep


def test_every_step_kind_is_on_the_board() -> None:
    models = get_args(get_args(AnyStep)[0])
    kinds = {get_args(step.model_fields["kind"].annotation)[0] for step in models}
    assert {kind.kind for kind in KINDS} == kinds
    assert len(KINDS) == len(kinds)
