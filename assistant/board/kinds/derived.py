"""Computed values on the board."""

from __future__ import annotations

from assistant.board.figures import number
from assistant.board.kinds.judged import Held, JudgedBoard
from assistant.board.kinds.kind import Glance
from assistant.board.plain import short
from assistant.board.view import BoardRow, Figure
from assistant.dialogue.estimating import shown_value
from assistant.dialogue.kinds.derived.deriving import computed, judgement_of
from assistant.dialogue.states import DialogueState
from assistant.procedure.kinds.derived import DerivedStep
from assistant.quantities.propagation import Estimate
from assistant.quantities.symbols import symbol


class DerivedBoard(JudgedBoard[DerivedStep]):
    """A value computed from readings, or one for each place."""

    kind = "derived"

    def found(self, at: Glance, step: DerivedStep, index: int) -> Figure | None:
        """The value, rounded as the dialogue says it."""
        place = step.places_in(at.context.procedure)[index]
        value = computed(at.context.procedure, at.state, step, place)
        if value is None:
            return None
        shown = shown_value(value, step)
        return Figure(place or step.quantity, number(shown), symbol(shown.unit))

    def undecided(self, at: Glance, step: DerivedStep, index: int) -> bool:
        """Whether its uncertainty reaches over a limit."""
        place = step.places_in(at.context.procedure)[index]
        value = computed(at.context.procedure, at.state, step, place)
        return value is not None and judgement_of(step, value).verdict == "undecided"

    def single(self, at: Glance, step: DerivedStep) -> bool:
        """Whether it is one value."""
        return not step.each

    def rows(self, at: Glance, step: DerivedStep, awaiting: DialogueState) -> tuple[BoardRow, ...]:
        """The value of each place; one value is shown as the figure."""
        if not step.each:
            return ()
        now = awaiting.index if isinstance(awaiting, Held) else None
        values = [
            (place, computed(at.context.procedure, at.state, step, place))
            for place in step.places_in(at.context.procedure)
        ]
        return tuple(
            _row(at, step, place, value, current=index == now)
            for index, (place, value) in enumerate(values)
        )


def _row(
    at: Glance, step: DerivedStep, place: str, value: Estimate | None, current: bool
) -> BoardRow:
    if value is None:
        return BoardRow(short(place), "", "", "", current)
    shown, verdict = shown_value(value, step), judgement_of(step, value).verdict
    released = place in at.state.released.get(step.id, ())
    mark = "released" if released and verdict != "in" else verdict
    text = f"{number(shown)} {symbol(shown.unit)}".strip()
    return BoardRow(short(place), text, mark, at.words("verdict_" + mark), current)
