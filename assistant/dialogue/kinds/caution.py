"""Caution: it must be acknowledged before any step after it opens."""

from __future__ import annotations

from assistant.dialogue import steps
from assistant.dialogue.kinds.kind import KindDialogue
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.caution import CautionStep


class CautionDialogue(KindDialogue[CautionStep]):
    """Its own words are its first caution; with the last one acknowledged it is done."""

    kind = "caution"
    may_be_skipped = False
    going_back_loses_nothing = True

    def begin(self, turn: Turn, step: CautionStep) -> None:
        """Say the first caution."""
        steps.say_caution(turn, 0)

    def cautions(self, step: CautionStep) -> tuple[str, ...]:
        """Its words, and whatever else is to be acknowledged."""
        return (step.say, *step.cautions)
