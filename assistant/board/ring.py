"""The fastener map: where each fastener is drawn, how far it is, and which one is due."""

from __future__ import annotations

from math import cos, pi, sin

from assistant.board.view import Fastener, FastenerMap
from assistant.board.words import BoardWords
from assistant.dialogue.state import (
    Acknowledge,
    Moment,
    Review,
    Tightening,
    TorqueAcknowledge,
)
from assistant.dialogue.tightening import order
from assistant.procedure.models import TighteningStep

_CENTRE = 50.0
_RADIUS = 35.0


def fastener_map(step: TighteningStep, moment: Moment, words: BoardWords) -> FastenerMap:
    """The map of ``step`` as it stands in ``moment``.

    Progress follows from the moment alone, so that a resumed session and a fastener reopened by
    the builder show exactly what the dialogue believes.
    """
    labels = order(step)
    pass_index, turn, under_way = _progress(step, moment)
    drawn = []
    for place, label in enumerate(step.fasteners):
        number = labels.index(label)
        x, y = position(step, place)
        drawn.append(
            Fastener(
                number=number + 1,
                label=label,
                x=x,
                y=y,
                passes_done=pass_index + (1 if number < turn else 0),
                due=under_way and number == turn,
            )
        )
    passes = len(step.passes)
    shown = min(pass_index + 1, passes)
    caption = (words("map_pass"), words("map_count", number=shown, total=passes))
    return FastenerMap(tuple(drawn), passes, shown, caption if passes > 1 else ())


def _progress(step: TighteningStep, moment: Moment) -> tuple[int, int, bool]:
    match moment:
        case Tightening(pass_index=index, turn=turn):
            return index, turn, True
        case TorqueAcknowledge(pass_index=index):
            return index, 0, False
        case Review():
            return len(step.passes), 0, False
        case Acknowledge():
            return 0, 0, False
        case _:
            return 0, 0, False


def position(step: TighteningStep, place: int) -> tuple[float, float]:
    """Where fastener number ``place`` of the procedure is drawn, in a square of 100 by 100.

    Round a ring, clockwise from the top; two rows for the two-row pattern, the first half of the
    fasteners above, left to right. A diagram of the order, not a drawing of the part.
    """
    count = len(step.fasteners)
    if step.pattern == "two_row":
        columns = (count + 1) // 2
        row, column = divmod(place, columns)
        x = _CENTRE if columns == 1 else 2 + 96 * column / (columns - 1)
        return round(x, 2), 30.0 if row == 0 else 70.0
    angle = 2 * pi * place / count
    return (
        round(_CENTRE + _RADIUS * sin(angle), 2),
        round(_CENTRE - _RADIUS * cos(angle), 2),
    )
