"""The model of a tightening step."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from assistant.procedure.fields import Id, Model, Quantity, Share, Text
from assistant.procedure.step import Step


class WrenchAdapter(Model):
    """A crowfoot or extension on the wrench's square drive, which changes the setting.

    ``length``: from the grip to the square; ``extension``: from the square to the fastener;
    ``angle``: between wrench and adapter, 0 straight on, 90 square (no correction), 180 back.
    """

    length: Quantity
    extension: Quantity
    angle: Quantity


class Bolt(Model):
    """The fastener: ``M8``, ``M10x1``, ``1/4-20``; class ``8.8`` or ``grade 5``."""

    thread: Annotated[str, Field(max_length=20)]
    grade: Annotated[str, Field(max_length=20)]


class TighteningStep(Step):
    """Tighten fasteners in passes over a pattern to a target torque."""

    kind: Literal["tightening"]
    tool: Id
    target: Quantity
    tolerance: Quantity | None = None  # plus or minus, same dimension as the target
    angle: Quantity | None = None  # further turn after the torque
    fasteners: Annotated[tuple[Text, ...], Field(min_length=1)]
    pattern: Literal["cross", "ring", "star", "spiral", "two_row", "given"] = "given"
    passes: Annotated[tuple[Share, ...], Field(min_length=1)] = (Decimal(1),)
    thread: Literal["dry", "lubricated"]
    lubricant: Id | None = None
    adapter: WrenchAdapter | None = None
    prevailing: Quantity | None = None  # drag of a locking nut, added to every setting
    bolt: Bolt | None = None  # for the linter's cross-check of the torque
