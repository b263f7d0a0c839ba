"""What is recorded of a tightening: torques and turns announced, fasteners done and reopened."""

from __future__ import annotations

from typing import ClassVar, Literal

from assistant.dialogue.facts import Fact
from assistant.quantities.amount import Amount


class TorqueAnnounced(Fact):
    """The torque of a pass was announced, as ``torque`` set on the wrench.

    ``wanted`` is the torque that the pass asks for, where the mark set is another; ``assumed`` the
    tolerance taken to accept that mark, where the procedure gives none. ``check``: no fastener may
    move at it. ``minimum``: it is the least, and ``up_to`` the mark that must not be passed.
    ``length``: how far from the square the wrench is held, where an adapter makes the setting
    follow it.
    """

    kind: Literal["torque_announced"] = "torque_announced"
    step: str
    pass_number: int
    torque: Amount  # in the unit of the wrench
    target: Amount  # as the procedure states the full target
    at_fastener: Amount | None = None  # where adapter or prevailing torque change the setting
    wanted: Amount | None = None
    assumed: Amount | None = None
    thread: Literal["dry", "lubricated"]
    check: bool = False
    minimum: bool = False
    up_to: Amount | None = None
    left_hand: bool = False
    length: Amount | None = None


class TurnAnnounced(Fact):
    """A pass that only turns was announced: every fastener on by ``turn``, or back by it."""

    kind: Literal["turn_announced"] = "turn_announced"
    step: str
    pass_number: int
    turn: Amount
    loosen: bool = False
    left_hand: bool = False


class FastenerTightened(Fact):
    """A fastener was done in a pass: to ``torque``, by ``turn``, or both.

    ``loosened``: it was turned back by ``turn``. ``moved`` is of a check: whether it moved.
    ``together``: the builder said the whole pass done, not this fastener.
    """

    kind: Literal["fastener_tightened"] = "fastener_tightened"
    step: str
    pass_number: int
    fastener: str
    torque: Amount | None = None  # as set on the wrench; None in a pass that only turns
    at_fastener: Amount | None = None  # where adapter or drag make it another
    turn: Amount | None = None
    loosened: bool = False
    moved: bool | None = None
    together: bool = False


class FastenerReopened(Fact):
    """A fastener of this pass was missed, or is to be done again: its tightening is void."""

    takes_back: ClassVar[bool] = True
    kind: Literal["fastener_reopened"] = "fastener_reopened"
    step: str
    pass_number: int
    fastener: str


class CheckRepeated(Fact):
    """Fasteners moved in a check, so all of its pass is done once more."""

    takes_back: ClassVar[bool] = True
    kind: Literal["check_repeated"] = "check_repeated"
    step: str
    pass_number: int
    moved: tuple[str, ...]
