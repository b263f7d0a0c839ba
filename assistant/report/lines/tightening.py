"""Lines of the record about tightening: pass by pass, fastener by fastener."""

from __future__ import annotations

from typing import Literal

from assistant.report.lines.line import RecordLine
from assistant.report.written import (
    AmountOut,
)


class TightenedLine(RecordLine):
    """One fastener tightened once; ``order`` counts within the pass; void when done again.

    ``torque`` is what the wrench was set to, None in a pass that only turns. ``at_fastener`` is
    what the fastener got by it, where an adapter or the drag of a locking nut make that another.
    ``turn`` is by how much it was turned on, or back. ``moved`` is of a check. ``together``: the
    builder said the whole pass done at once.
    """

    fastener: str
    order: int
    at: str
    torque: AmountOut | None
    at_fastener: AmountOut | None = None
    turn: AmountOut | None = None
    moved: bool | None = None
    together: bool = False
    void_since: str | None = None
    void_why: str = ""
    clip: str | None = None


class PassLine(RecordLine):
    """A pass as announced: ``torque`` was set on the wrench; None in a pass that only turns.

    ``work`` is what it does: tighten to the torque, turn on, loosen, or check that none moves.
    ``minimum``: the torque is the least, and ``up_to`` the mark not to be passed. ``wanted`` is
    what the pass asked for where the mark was another, ``assumed`` the tolerance taken for it where
    the procedure gives none. ``at_fastener`` is what the fastener gets by it, where an adapter or a
    locking nut's drag make that another; ``turn`` the angle after the torque, or that of the pass.
    ``length``: how far from the square the wrench was to be held, where an adapter makes the
    setting follow it. ``wrench`` is the name of the one it was announced for, and
    ``calibration_due`` (ISO 8601 date) until when that is calibrated.
    """

    number: int
    work: Literal["torque", "turn", "loosen", "check"] = "torque"
    torque: AmountOut | None
    minimum: bool = False
    up_to: AmountOut | None = None
    wanted: AmountOut | None = None
    assumed: AmountOut | None = None
    at_fastener: AmountOut | None = None
    turn: AmountOut | None = None
    length: AmountOut | None = None
    wrench: str = ""
    calibration_due: str | None = None
    announced_at: str
    tightened: list[TightenedLine] = []


class TighteningLine(RecordLine):
    """All passes over one pattern; ``given`` are the fasteners in the procedure's numbering.

    ``target`` is the final torque, ``angle`` the whole turn after it. ``stages``: how many passes
    the procedure asks for, of which ``passes`` has those announced; 0 where that is not known.
    """

    step: str
    tool: str
    pattern: str
    given: list[str]
    target: AmountOut
    tolerance: AmountOut | None
    angle: AmountOut | None
    left_hand: bool = False
    thread: str
    lubricant: str
    locker: str = ""
    stages: int = 0
    passes: list[PassLine] = []
