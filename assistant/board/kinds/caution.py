"""Cautions on the board."""

from __future__ import annotations

from assistant.board.kinds.kind import Glance, KindBoard
from assistant.board.view import Scene
from assistant.dialogue.states import DialogueState
from assistant.procedure.kinds.caution import CautionStep


class CautionBoard(KindBoard[CautionStep]):
    """A hazard on its own: its cautions are all its work, and any step may have some."""

    kind = "caution"

    def scene(self, at: Glance, step: CautionStep, awaiting: DialogueState) -> Scene:
        """Nothing is left once they are acknowledged."""
        return at.nothing_special
