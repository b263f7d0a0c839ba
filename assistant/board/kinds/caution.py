"""Cautions on the board."""

from __future__ import annotations

from assistant.board.kinds.kind import Glance, KindBoard
from assistant.board.view import Scene
from assistant.dialogue.states import DialogueState
from assistant.procedure.kinds.caution import CautionStep


class CautionBoard(KindBoard[CautionStep]):
    """A step that only gives cautions; other steps may have cautions too."""

    kind = "caution"

    def scene(self, at: Glance, step: CautionStep, awaiting: DialogueState) -> Scene:
        """The cautions themselves are shown by ``board/scene.py``; there is nothing after them."""
        return at.nothing_special
