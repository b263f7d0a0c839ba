"""What a procedure lists at its head: the manual that governs, gauges, consumables, parts."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from assistant.procedure.fields import Id, Model, Quantity, Text, UnitCode, real_date
from assistant.quantities.bench import ToolKind

NO_DATE = "0001-01-01"
"""Stands in a draft for the date of the manual, which its writer has still to fill in."""


class GoverningDocument(Model):
    """The maker's manual that outranks this procedure."""

    title: Text
    revision: Annotated[str, Field(pattern=r"^[A-Z0-9]{1,8}$")]
    date: Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$"), AfterValidator(real_date)]


class Applicability(Model):
    """Which builds the procedure covers; ids that conditions may name."""

    variants: tuple[Id, ...] = ()
    parts: tuple[Literal["new", "reused"], ...] = ("new", "reused")


class Gauge(Model):
    """A measuring or tightening tool that the procedure calls for."""

    id: Id
    kind: ToolKind
    name: Text
    unit: UnitCode
    resolution: Quantity
    lower: Quantity | None = None
    upper: Quantity | None = None
    uncertainty: Quantity | None = None  # expanded, k = 2
    members: tuple[Quantity, ...] = ()  # blades of a feeler set, shims of a shim set


class BenchWrench(Gauge):
    """A wrench of the bench in the place of the one called for, with a ``length`` of its own.

    From the middle of the hand to the square drive; None where the bench does not state it, and
    the wrench is not the one that the procedure's adapter is reckoned with.
    """

    length: Quantity | None = None


class Consumable(Model):
    """Oil, grease, sealant, thread locker: named by the steps that use it.

    Of a thread locker: ``open_time`` is how long it may be worked, ``cure_time`` until it holds.
    """

    id: Id
    name: Text
    open_time: Quantity | None = None
    cure_time: Quantity | None = None


class Part(Model):
    """A part of the assembly; ``marked`` when it carries a number to be recorded."""

    id: Id
    name: Text
    quantity: Annotated[int, Field(ge=1, le=100_000)] = 1
    marked: bool = False
