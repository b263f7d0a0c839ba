"""The fastener map: where each fastener is drawn, how far it is, and which one is due."""

from __future__ import annotations

from math import cos, pi, sin
from typing import assert_never

from assistant.board.view import Fastener, FastenerMap
from assistant.board.words import BoardWords
from assistant.dialogue.announcing import order
from assistant.dialogue.state import (
    Acknowledge,
    Blocked,
    Choosing,
    ClockAsked,
    ConditionReadback,
    Conditions,
    DialogueState,
    DigitCheck,
    DispositionReason,
    Doing,
    Ended,
    GoingBack,
    Inspecting,
    Loosening,
    Manual,
    ManualReadback,
    Measuring,
    Noting,
    OutOfLimit,
    Release,
    Review,
    RevisionHeard,
    Skipping,
    Spelled,
    Stopping,
    Tightening,
    TorqueAcknowledge,
    Waiting,
    WaitOffered,
)
from assistant.procedure.models import TighteningStep

_CENTRE = 50.0
_RADIUS = 35.0  # leaves room for labels outside
_RADIUS_MANY = 44.0
_LABELLED = 8  # more labels than these cannot be told apart at a glance
_HALF_WIDTH = 46.0
_UPPER = 22.0


def fastener_map(step: TighteningStep, moment: DialogueState, words: BoardWords) -> FastenerMap:
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
    return FastenerMap(
        tuple(drawn), passes, shown, caption if passes > 1 else (), len(labels) <= _LABELLED
    )


def _progress(step: TighteningStep, moment: DialogueState) -> tuple[int, int, bool]:
    match moment:
        case Tightening(pass_index=index, turn=turn):
            return index, turn, True
        case TorqueAcknowledge(pass_index=index, turn=turn):
            return index, turn, False
        case Review():
            return len(step.passes), 0, False
        case (
            Manual() | ManualReadback() | Conditions() | ConditionReadback()
            | Loosening() | Acknowledge() | Doing() | Measuring() | DigitCheck() | OutOfLimit()
            | DispositionReason() | Release()
            | Spelled() | Choosing() | WaitOffered() | Waiting() | Inspecting() | Blocked()
            | Skipping() | GoingBack() | Noting() | ClockAsked() | RevisionHeard() | Stopping()
            | Ended()
        ):  # fmt: skip
            return 0, 0, False
        case _:
            assert_never(moment)


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
