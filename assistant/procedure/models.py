"""Typed model of an assembly procedure: what ``procedures/*.yaml`` may say.

Quantities are written as text with their unit (``1.5 thou``, ``14 lbf*ft``) and kept exact.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    WithJsonSchema,
)

from assistant.quantities.amount import Amount, parse_amount
from assistant.quantities.combining import Combine
from assistant.quantities.limits import Limits
from assistant.quantities.units import UNITS

_SHARE_PLACES = 6
_QUANTITY_LENGTH = 40  # longest text read as a quantity; keeps absurd digits out of the arithmetic
QUANTITY_PATTERN = r"^\s*[+-]?\d+(\.\d+)?(/\d+)?(?![\d./])\s*\S.*$"


def _read_amount(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    if len(value) > _QUANTITY_LENGTH:
        raise ValueError("The text is too long for a number and a unit; write '0.002 in'.")
    return parse_amount(value)


def _known_unit(code: str) -> str:
    if code not in UNITS:
        raise ValueError(f"'{code[:40]}' is not a known unit; use one of: {', '.join(UNITS)}.")
    return code


def _real_date(text: str) -> str:
    try:
        date.fromisoformat(text)
    except ValueError:
        raise ValueError(f"'{text}' is no day of the calendar; write 2026-03-01.") from None
    return text


def _short_share(share: Decimal) -> Decimal:
    # As a fraction 1E-99999999 has a hundred million digits.
    exponent = share.as_tuple().exponent
    if not isinstance(exponent, int) or not -_SHARE_PLACES <= exponent <= _SHARE_PLACES:
        raise ValueError(f"It has more than {_SHARE_PLACES} decimal places; write 0.5.")
    return share


Quantity = Annotated[
    Amount,
    BeforeValidator(_read_amount),
    PlainSerializer(str, return_type=str, when_used="json"),
    WithJsonSchema({"type": "string", "pattern": QUANTITY_PATTERN}),
]
"""An :class:`Amount` written in a procedure as text."""

UnitCode = Annotated[
    str, AfterValidator(_known_unit), WithJsonSchema({"type": "string", "enum": list(UNITS)})
]
"""A unit code from ``assistant.quantities.units.UNITS``."""

Share = Annotated[Decimal, AfterValidator(_short_share)]
"""A part of the target torque."""
Id = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=60)]
_WORD = r"[^\u0000-\u0060\u007b-\u00bf]+"  # a to z, and the letters of other scripts
SPOKEN_PATTERN = rf"^{_WORD}( {_WORD}){{0,4}}$"
"""One to five words in small letters; in a form that pydantic and editors (JSON Schema) read."""
Text = Annotated[str, Field(min_length=1, max_length=2000)]


class Model(BaseModel):
    """Strict and frozen: a misspelt key is a fault, and a loaded procedure never changes."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class GoverningDocument(Model):
    """The maker's manual that outranks this procedure."""

    title: Text
    revision: Annotated[str, Field(pattern=r"^[A-Z0-9]{1,8}$")]
    date: Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$"), AfterValidator(_real_date)]


class Applicability(Model):
    """Which builds the procedure covers; ids that conditions may name."""

    variants: tuple[Id, ...] = ()
    parts: tuple[Literal["new", "reused"], ...] = ("new", "reused")


GaugeKind = Literal[
    "feeler", "micrometer", "caliper", "dial_indicator", "bore_gauge", "depth_gauge",
    "plug_gauge", "ring_gauge", "torque_wrench", "angle_gauge", "shim_set", "thermometer",
    "plastic_gauge", "rule", "spring_scale",
]  # fmt: skip


class Gauge(Model):
    """A measuring or tightening tool that the procedure calls for."""

    id: Id
    kind: GaugeKind
    name: Text
    unit: UnitCode
    resolution: Quantity
    lower: Quantity | None = None
    upper: Quantity | None = None
    uncertainty: Quantity | None = None  # expanded, k = 2
    members: tuple[Quantity, ...] = ()  # blades of a feeler set, shims of a shim set


class Consumable(Model):
    """Oil, grease, sealant, thread locker: named by the steps that use it."""

    id: Id
    name: Text


class Part(Model):
    """A part of the assembly; ``marked`` when it carries a number to be recorded."""

    id: Id
    name: Text
    quantity: Annotated[int, Field(ge=1, le=100_000)] = 1
    marked: bool = False


class Condition(Model):
    """When a step applies; every key given must hold.

    ``choice`` and ``reading`` map step ids to an option id, or to ``in`` / ``out``.
    """

    variant: tuple[Id, ...] = ()
    parts: Literal["new", "reused"] | None = None
    choice: dict[Id, Id] = Field(default_factory=dict)
    reading: dict[Id, Literal["in", "out"]] = Field(default_factory=dict)


class Step(Model):
    """What every step has: ``say`` is read aloud; ``after`` names prerequisite steps."""

    id: Id
    title: Text
    say: Text
    after: tuple[Id, ...] = ()
    when: Condition | None = None
    cautions: tuple[Text, ...] = ()
    reference: str = ""  # section of the governing document


class CautionStep(Step):
    """Hands get hurt here: nothing that follows opens before it is acknowledged."""

    kind: Literal["caution"]


class ActionStep(Step):
    """Place, orient, lubricate, seal; confirmed by voice."""

    kind: Literal["action"]
    orientation: str = ""
    expect: str = ""  # "you should feel / see ..."
    materials: tuple[Id, ...] = ()
    parts: tuple[Id, ...] = ()


class LimitedStep(Step):
    """A step that yields a quantity value judged against limits."""

    quantity: Text  # "end float"
    unit: UnitCode
    lower: Quantity | None = None
    upper: Quantity | None = None
    plausible_low: Quantity | None = None
    plausible_high: Quantity | None = None
    rule: Literal["simple", "guarded"] = "simple"

    @property
    def limits(self) -> Limits:
        """Both limits as one value."""
        return Limits(self.lower, self.upper)


class MeasurementStep(LimitedStep):
    """A reading at one or more positions with a named gauge."""

    kind: Literal["measurement"]
    gauge: Id
    positions: tuple[Text, ...] = ()

    @property
    def places(self) -> tuple[str, ...]:
        """The positions; a step without any has the one nameless position."""
        return self.positions or ("",)


class DerivedStep(LimitedStep):
    """A value computed from earlier readings: ``formula`` over names bound in ``inputs``.

    ``inputs`` maps a name in the formula to a measurement or derived step id; several positions
    are combined by ``combine``.
    """

    kind: Literal["derived"]
    formula: Text
    inputs: dict[str, Id]
    combine: Combine = "mean"


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


class ShimStep(LimitedStep):
    """Choose shims from a set so that ``gap`` less the shims lies within the limits.

    With ``effect: open`` the shims stand where the gap grows by them, as under a cover.
    ``gap`` names an earlier measurement or derived step; ``stock`` a gauge of kind ``shim_set``
    whose members are the shims on the bench, one entry for each shim.
    """

    kind: Literal["shims"]
    gap: Id
    stock: Id
    effect: Literal["close", "open"] = "close"


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


class IdentificationStep(Step):
    """A serial, batch or part number read off the part and spelled aloud."""

    kind: Literal["identification"]
    part: Id
    what: Literal["serial", "batch", "part_number"]
    form: str = ""  # RE2 regular expression that the whole upper-case text must match


class Option(Model):
    """One answer to a choice; ``say`` is what the builder speaks, in dictionary words."""

    id: Id
    say: Annotated[str, Field(pattern=SPOKEN_PATTERN)]


class ChoiceStep(Step):
    """A branch on variant or condition."""

    kind: Literal["choice"]
    options: Annotated[tuple[Option, ...], Field(min_length=2)]


class WaitStep(Step):
    """Cure or soak time. Only the steps in ``meanwhile`` may go on while it runs."""

    kind: Literal["wait"]
    duration: Quantity
    meanwhile: tuple[Id, ...] = ()


class InspectionStep(Step):
    """Hold point: a named second person, not the builder, must accept."""

    kind: Literal["inspection"]
    criteria: Text


AnyStep = Annotated[
    CautionStep
    | ActionStep
    | MeasurementStep
    | DerivedStep
    | ShimStep
    | TighteningStep
    | IdentificationStep
    | ChoiceStep
    | WaitStep
    | InspectionStep,
    Field(discriminator="kind"),
]


class Procedure(Model):
    """A whole assembly procedure."""

    id: Id
    title: Text
    revision: Annotated[str, Field(pattern=r"^[A-Z0-9]{1,8}$")]
    language: str = "en-US"
    governing: GoverningDocument
    applicability: Applicability = Applicability()
    gauges: tuple[Gauge, ...] = ()
    consumables: tuple[Consumable, ...] = ()
    parts: tuple[Part, ...] = ()
    steps: Annotated[tuple[AnyStep, ...], Field(min_length=1)]

    def step(self, step_id: str) -> AnyStep:
        """The step called ``step_id``; KeyError when there is none."""
        for step in self.steps:
            if step.id == step_id:
                return step
        raise KeyError(step_id)

    def gauge(self, gauge_id: str) -> Gauge:
        """The gauge called ``gauge_id``; KeyError when there is none."""
        for gauge in self.gauges:
            if gauge.id == gauge_id:
                return gauge
        raise KeyError(gauge_id)
