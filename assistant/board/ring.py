"""The fastener map: where each fastener is drawn, how far it is, and which one is due."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin

from assistant.board.view import Fastener, FastenerMap
from assistant.board.words import BoardWords
from assistant.dialogue.kinds.tightening.announcing import order
from assistant.procedure.kinds.tightening import TighteningStep

_CENTRE = 50.0
_RADIUS = 35.0  # leaves room for labels outside
_RADIUS_MANY = 44.0
_LABELLED = 8  # more labels than these cannot be told apart at a glance
_HALF_WIDTH = 46.0
_UPPER = 22.0


@dataclass(frozen=True)
class Progress:
    """Pass ``pass_index`` goes on at fastener ``turn`` of its order, if it is ``under_way``."""

    pass_index: int
    turn: int
    under_way: bool


def fastener_map(step: TighteningStep, progress: Progress, words: BoardWords) -> FastenerMap:
    """The map of ``step`` as far as it has come."""
    labels = order(step)
    pass_index, turn = progress.pass_index, progress.turn
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
                due=progress.under_way and number == turn,
            )
        )
    passes = len(step.passes)
    shown = min(pass_index + 1, passes)
    caption = (words("map_pass"), words("map_count", number=shown, total=passes))
    return FastenerMap(
        tuple(drawn), passes, shown, caption if passes > 1 else (), len(labels) <= _LABELLED
    )


def position(step: TighteningStep, place: int) -> tuple[float, float]:
    """Where fastener number ``place`` of the procedure is drawn, in a square of 100 by 100.

    As the patterns number them: round a ring, clockwise from the top; for ``two_row`` row by row
    from the same end; for ``spiral`` along one long side and back along the other. A diagram of
    the order, not a drawing of the part.
    """
    count = len(step.fasteners)
    first = (count + 1) // 2
    if step.pattern in ("two_row", "spiral") and count > 1:
        above = place < first
        column = place if above else place - first
        if step.pattern == "spiral":
            length = first if above else count - first
            along = (2 * column - (length - 1)) * (1 if above else -1)
        else:
            along = 2 * column - (first - 1)
        x = _CENTRE + _HALF_WIDTH * along / max(1, first - 1)
        return round(x, 2), _UPPER if above else 2 * _CENTRE - _UPPER
    angle = 2 * pi * place / count
    radius = _RADIUS if count <= _LABELLED else _RADIUS_MANY
    return round(_CENTRE + radius * sin(angle), 2), round(_CENTRE - radius * cos(angle), 2)
