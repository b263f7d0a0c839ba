"""The fastener map: where each is drawn, how far it is, which one is due and which is next."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin

from assistant.board.plain import short
from assistant.board.view import Fastener, FastenerMap
from assistant.board.words import BoardWords
from assistant.dialogue.kinds.tightening.wrench_setting import order
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.kinds.tightening.stages import stages_of
from assistant.report.fastener_label import in_circle

_CENTRE = 50.0
_RADIUS = 42.0
_HALF_WIDTH = 46.0
_UPPER = 26.0
_LABEL = 24  # letters for which there is room on the map


@dataclass(frozen=True)
class Progress:
    """Pass ``pass_index`` goes on at fastener ``turn`` of its order, if it is ``under_way``.

    ``loosen`` are fasteners that must be loosened before any pass.
    """

    pass_index: int
    turn: int
    under_way: bool
    loosen: tuple[str, ...] = ()


def fastener_map(step: TighteningStep, progress: Progress, words: BoardWords) -> FastenerMap:
    """The map of ``step`` as far as it has come.

    A circle has the fastener's own number. Its turn in the order is not a number on the map:
    the one that is due is lit, and an arrow leads to the next.
    """
    passes = len(stages_of(step))
    labels = order(step, min(progress.pass_index, passes - 1))
    own = in_circle(step.fasteners)
    pass_index, turn = progress.pass_index, progress.turn
    next_turn = turn + 1 if progress.under_way else turn
    drawn = []
    for place, label in enumerate(step.fasteners):
        number = labels.index(label)
        x, y = position(step, place)
        drawn.append(
            Fastener(
                own=own[label],
                label=short(label, _LABEL),
                x=x,
                y=y,
                passes_done=pass_index + (1 if number < turn else 0),
                due=(progress.under_way and number == turn) or label in progress.loosen,
                next=number == next_turn and pass_index < passes and not progress.loosen,
            )
        )
    shown = min(pass_index + 1, passes)
    caption = words("map_pass", number=shown, total=passes) if passes > 1 else ""
    return FastenerMap(tuple(drawn), passes, shown, caption)


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
    return round(_CENTRE + _RADIUS * sin(angle), 2), round(_CENTRE - _RADIUS * cos(angle), 2)
