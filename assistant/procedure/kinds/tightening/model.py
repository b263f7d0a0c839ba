"""The model of a tightening step."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field, ValidationInfo, field_validator
from pydantic_core import PydanticKnownError

from assistant.procedure.fields import Id, Model, Quantity, Share
from assistant.procedure.places import Labels
from assistant.procedure.step import Step
from assistant.quantities.patterns import Pattern


class WrenchAdapter(Model):
    """A crowfoot or extension on the wrench's square drive, which changes the setting.

    ``length``: from the grip to the square; ``extension``: from the square to the fastener;
    ``angle``: between wrench and adapter, 0 straight on, 90 square (no correction), 180 back.
    """

    length: Quantity
    extension: Quantity
    angle: Quantity


class Bolt(Model):
    """The fastener: ``M8``, ``M10x1``, ``1/4-20``; class ``8.8``, ``A2-70`` or ``grade 5``.

    ``grip``: the length that is clamped, for an estimate of a turn by angle.
    """

    thread: Annotated[str, Field(max_length=20)]
    grade: Annotated[str, Field(max_length=20)]
    grip: Quantity | None = None


class Stage(Model):
    """One round over all fasteners: to a torque, by a turn, back by a turn, or a check.

    ``torque`` and ``turn`` together: each fastener gets both before the next one. ``minimum``: the
    torque is the least, and the builder may go on, to ``up_to`` at most. ``pattern``: the order of
    this stage, where it is not that of the step.
    """

    torque: Quantity | None = None
    turn: Quantity | None = None
    loosen: Quantity | None = None
    check: Quantity | None = None  # at this torque no fastener may move any more
    minimum: bool = False
    up_to: Quantity | None = None
    pattern: Pattern | None = None

    @property
    def wrench_torque(self) -> Quantity | None:
        """The torque that the wrench is set for; None of a stage that only turns."""
        return self.check if self.torque is None else self.torque


class TighteningStep(Step):
    """Tighten fasteners, stage by stage, in the order of a pattern.

    Either ``stages``, or a ``target`` with its ``passes`` and a last ``angle``.
    """

    model_config = ConfigDict(
        json_schema_extra={"anyOf": [{"required": ["target"]}, {"required": ["stages"]}]}
    )

    kind: Literal["tightening"]
    tool: Id
    stages: tuple[Stage, ...] = ()
    target: Annotated[Quantity | None, Field(validate_default=True)] = None
    tolerance: Quantity | None = None  # plus or minus, same dimension as the target
    angle: Quantity | None = None  # further turn after the torque
    fasteners: Labels
    pattern: Pattern = "given"
    passes: Annotated[tuple[Share, ...], Field(min_length=1)] = (Decimal(1),)
    whole_pass: bool = False  # "pass done" may be said for all fasteners of a stage at once
    left_hand: bool = False
    minimum: bool = False  # the target is the least torque, ``up_to`` the most
    up_to: Quantity | None = None
    thread: Literal["dry", "lubricated"]
    lubricant: Id | None = None
    locker: Id | None = None  # thread locker, on clean dry threads
    adapter: WrenchAdapter | None = None
    prevailing: Quantity | None = None  # drag of a locking nut, added to every setting
    bolt: Bolt | None = None  # for the linter's cross-check of the torque

    @field_validator("target")
    @classmethod
    def _given(cls, target: Any, info: ValidationInfo) -> Any:
        """A step without stages needs its target."""
        if target is None and info.data.get("stages", True) == ():
            raise PydanticKnownError("missing")
        return target
