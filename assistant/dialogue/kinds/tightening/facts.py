"""What is recorded of a tightening: torques announced, fasteners tightened and reopened."""

from __future__ import annotations

from typing import ClassVar, Literal

from assistant.dialogue.facts import Fact
from assistant.quantities.amount import Amount


class TorqueAnnounced(Fact):
    """The torque of a pass was announced, as ``torque`` set on the wrench.

    ``wanted`` is the torque that the pass asks for, where the mark set is another; ``assumed`` the
    tolerance taken to accept that mark, where the procedure gives none.
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


class FastenerTightened(Fact):
    kind: Literal["fastener_tightened"] = "fastener_tightened"
    step: str
    pass_number: int
    fastener: str
    torque: Amount  # as set on the wrench
    at_fastener: Amount | None = None  # where adapter or drag make it another


class FastenerReopened(Fact):
    """A fastener of this pass was missed, or is to be done again: its tightening is void."""

    takes_back: ClassVar[bool] = True
    kind: Literal["fastener_reopened"] = "fastener_reopened"
    step: str
    pass_number: int
    fastener: str
