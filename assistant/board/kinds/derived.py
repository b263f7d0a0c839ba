"""Computed values on the board."""

from __future__ import annotations

from assistant.board.figures import number, symbol
from assistant.board.kinds.judged import JudgedBoard
from assistant.board.kinds.kind import Glance
from assistant.board.view import Figure
from assistant.dialogue.estimating import estimate_of, shown_value
from assistant.dialogue.kinds.derived.deriving import judgement_of
from assistant.procedure.kinds.derived import DerivedStep


class DerivedBoard(JudgedBoard[DerivedStep]):
    """A value computed from readings."""

    kind = "derived"

    def found(self, at: Glance, step: DerivedStep, index: int) -> Figure | None:
        """The value, rounded as the dialogue says it."""
        computed = estimate_of(at.context.procedure, at.state, step.id)
        if computed is None or step.id not in at.state.derived:
            return None
        shown = shown_value(computed, step)
        return Figure(step.quantity, number(shown), symbol(shown.unit))

    def undecided(self, at: Glance, step: DerivedStep, index: int) -> bool:
        """Whether its uncertainty reaches over a limit."""
        computed = estimate_of(at.context.procedure, at.state, step.id)
        return computed is not None and judgement_of(step, computed).verdict == "undecided"

    def single(self, at: Glance, step: DerivedStep) -> bool:
        """It is one value."""
        return True
