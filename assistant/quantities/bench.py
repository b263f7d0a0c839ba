"""The bench inventory: which gauges, sets and torque wrenches there are."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    WithJsonSchema,
    model_validator,
)

from assistant.quantities.amount import Amount, parse_amount
from assistant.quantities.shims import ShimStock
from assistant.quantities.units import UNITS, difference_unit, same_dimension

ToolKind = Literal[
    "feeler", "micrometer", "caliper", "dial_indicator", "bore_gauge", "depth_gauge",
    "plug_gauge", "ring_gauge", "torque_wrench", "torque_driver", "angle_gauge", "shim_set",
    "thermometer", "plastic_gauge", "rule", "spring_scale",
]  # fmt: skip
"""The kinds that procedures call for."""

TORQUE_TOOLS: tuple[ToolKind, ...] = ("torque_wrench", "torque_driver")
"""What is set to a torque: a wrench, or a driver for small screws."""

_LONGEST = 40


def _read(value: Any) -> Any:
    if isinstance(value, str) and len(value) <= _LONGEST:
        return parse_amount(value)
    return value


Written = Annotated[
    Amount,
    BeforeValidator(_read),
    PlainSerializer(str, return_type=str, when_used="json"),
    WithJsonSchema({"type": "string"}),
]
"""An amount written as text, ``0.002 in``."""


class _Model(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class Member(_Model):
    """One blade, plug or thickness of shim in a set, ``count`` times."""

    size: Written
    count: Annotated[int, Field(ge=0, le=10_000)] = 1


def _member(value: Any) -> Any:
    """A size alone is one of that size, as procedures write it."""
    return {"size": value} if isinstance(value, str) else value


class BenchTool(_Model):
    """One tool on the bench.

    ``error`` is its maximum permissible error, ``uncertainty`` the expanded one (k = 2) of its
    certificate; either may be missing. ``usable_from`` is the part of full scale from which a
    torque wrench may be used. ``length`` is that of a torque wrench, from the middle of the hand to
    its square drive: with a crowfoot or extension the setting follows it.
    """

    id: Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=60)]
    kind: ToolKind
    name: Annotated[str, Field(min_length=1, max_length=200)]
    unit: str
    resolution: Written
    lower: Written | None = None
    upper: Written | None = None
    error: Written | None = None
    uncertainty: Written | None = None
    calibration_due: date | None = None
    usable_from: Annotated[Decimal, Field(ge=0, lt=1, decimal_places=6)] = Decimal("0.2")
    length: Written | None = None
    members: tuple[Annotated[Member, BeforeValidator(_member)], ...] = ()

    @model_validator(mode="after")
    def _sound(self) -> BenchTool:
        if self.unit not in UNITS:
            raise ValueError(f"'{self.unit}' is not a known unit; use one of: {', '.join(UNITS)}.")
        sizes = [self.lower, self.upper, *(m.size for m in self.members)]
        differences = [self.resolution, self.error, self.uncertainty]
        own, apart = self.unit, difference_unit(self.unit)
        told = [(a, a.unit, own) for a in sizes if a is not None]
        told += [(a, difference_unit(a.unit), apart) for a in differences if a is not None]
        for amount, unit, fitting in told:
            if not same_dimension(unit, fitting):
                raise ValueError(
                    f"{amount} does not suit tool '{self.id}', which shows {self.unit}."
                )
        if self.resolution.value <= 0:
            raise ValueError(f"The resolution of tool '{self.id}' must be above zero.")
        low, high = self.lower, self.upper
        if low is not None and high is not None and low.to(high.unit).value >= high.value:
            raise ValueError(f"The range of tool '{self.id}' is upside down; swap its ends.")
        if self.length is not None:
            self._sound_length(self.length)
        if any(m.size.value <= 0 for m in self.members):
            raise ValueError(f"A member of the set '{self.id}' has no size; correct it.")
        if self.kind in ("feeler", "shim_set") and not self.members:
            raise ValueError(f"The set '{self.id}' is empty; list its blades or shims.")
        return self

    def _sound_length(self, length: Amount) -> None:
        if self.kind not in TORQUE_TOOLS:
            raise ValueError(f"Only a torque tool has a 'length'; leave it out of '{self.id}'.")
        if not same_dimension(length.unit, "mm") or length.value <= 0:
            raise ValueError(
                f"The length {length} of tool '{self.id}' is no length above zero; give it in mm "
                "or in, from the middle of the hand to the square."
            )

    def blades(self) -> tuple[Amount, ...]:
        """Sizes of the set that are there at all."""
        return tuple(m.size for m in self.members if m.count)

    def stock(self) -> tuple[ShimStock, ...]:
        """The set as a stock of shims."""
        return tuple(ShimStock(m.size, m.count) for m in self.members)


class Bench(_Model):
    """All tools of a bench, each id once."""

    tools: tuple[BenchTool, ...]

    @model_validator(mode="after")
    def _unique(self) -> Bench:
        ids = [tool.id for tool in self.tools]
        twice = next((i for i in ids if ids.count(i) > 1), None)
        if twice is not None:
            raise ValueError(f"The tool '{twice}' is listed twice; give each its own id.")
        return self
