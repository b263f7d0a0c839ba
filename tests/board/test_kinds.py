"""Every step kind has its one place on the board."""

from __future__ import annotations

from assistant.board.kinds import KINDS
from assistant.procedure.kinds import STEP_KINDS


def test_every_step_kind_is_on_the_board() -> None:
    assert tuple(kind.kind for kind in KINDS) == STEP_KINDS
