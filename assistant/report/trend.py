"""One dimension over many builds, with the limits of an individuals chart.

Constants d2 = 1.128 and D4 = 3.267 for moving ranges of two: NIST/SEMATECH e-Handbook of
Statistical Methods, 6.3.2.2 (individuals control charts).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from pydantic import BaseModel, ConfigDict

from assistant.quantities.limits import Verdict
from assistant.quantities.units import same_dimension
from assistant.report.lines.reading import ReadingLine
from assistant.report.model import BuildRecord
from assistant.report.written import LimitsOut

_THREE_SIGMA = 3 / Fraction("1.128")  # of the mean moving range
_D4 = Fraction("3.267")


@dataclass(frozen=True)
class ControlLimits:
    """Centre and control limits, exact: a value is compared with these, never with a float."""

    mean: Fraction
    lower: Fraction
    upper: Fraction
    mean_range: Fraction
    upper_range: Fraction


class Chart(BaseModel):
    """Centre and control limits as they are shown, in the unit of the values."""

    model_config = ConfigDict(frozen=True)
    mean: float
    lower: float
    upper: float
    mean_range: float
    upper_range: float


class Point(BaseModel):
    """One build: ``value`` in the trend's unit; ``signals`` says why it stands out."""

    model_config = ConfigDict(frozen=True)
    session: str
    job: str
    at: str
    value: float
    stated: str
    moving_range: float | None
    verdict: Verdict
    signals: tuple[str, ...] = ()


class Trend(BaseModel):
    """A dimension over builds, oldest first. ``chart`` is None below three builds."""

    model_config = ConfigDict(frozen=True)
    procedure_id: str
    step: str
    position: str
    quantity: str
    unit: str
    limits: LimitsOut | None
    points: tuple[Point, ...]
    chart: Chart | None
    left_out: tuple[str, ...]


def control_limits(values: list[Fraction]) -> ControlLimits | None:
    """Shewhart's limits for single values from their moving ranges; None below three values.

    The limits are computed from all values given. They say how the process runs, nothing about
    whether a part is good: that the manual's limits decide.
    """
    if len(values) < 3:
        return None
    mean = sum(values, Fraction(0)) / len(values)
    ranges = [abs(b - a) for a, b in pairwise(values)]
    mean_range = sum(ranges, Fraction(0)) / len(ranges)
    reach = mean_range * _THREE_SIGMA
    return ControlLimits(
        mean=mean,
        lower=mean - reach,
        upper=mean + reach,
        mean_range=mean_range,
        upper_range=mean_range * _D4,
    )


def individuals_chart(values: list[Fraction]) -> Chart | None:
    """:func:`control_limits` in floating point, to be shown or drawn."""
    exact = control_limits(values)
    if exact is None:
        return None
    return Chart(**{name: float(value) for name, value in vars(exact).items()})


def trend(
    records: Iterable[BuildRecord], procedure_id: str, step: str, position: str = ""
) -> Trend:
    """The counting readings of one step and position over ``records``, given oldest first.

    Bounds and intervals (feeler blades) are not a single value; such builds, and those without the
    reading, are named in ``left_out``; so are those that measured another quantity at the step, as
    before a revision of the procedure. Values are compared in the unit of the newest one.
    """
    found: list[tuple[BuildRecord, ReadingLine]] = []
    left_out: list[str] = []
    for record in records:
        if record.procedure_id != procedure_id or record.demo_clock:
            continue
        reading = next(
            (r for r in record.counting() if (r.step, r.position) == (step, position)), None
        )
        if reading is None or reading.indication.relation != "eq":
            left_out.append(record.session)
        else:
            found.append((record, reading))
    newest = found[-1][1] if found else None
    unit = "" if newest is None else newest.indication.amount.unit
    left_out += [r.session for r, one in found if not _alike(one, unit)]
    found = [(r, one) for r, one in found if _alike(one, unit)]
    values = [r.indication.amount.to(unit).value for _, r in found]
    return Trend(
        procedure_id=procedure_id,
        step=step,
        position=position,
        quantity="" if newest is None else newest.quantity,
        unit=unit,
        limits=None if newest is None else newest.limits,
        points=tuple(_points(found, values, control_limits(values))),
        chart=individuals_chart(values),
        left_out=tuple(left_out),
    )


def _alike(reading: ReadingLine, unit: str) -> bool:
    return same_dimension(reading.indication.amount.unit, unit)


def _points(
    found: list[tuple[BuildRecord, ReadingLine]],
    values: list[Fraction],
    chart: ControlLimits | None,
) -> Iterable[Point]:
    for number, ((record, reading), value) in enumerate(zip(found, values, strict=True)):
        moved = None if number == 0 else abs(value - values[number - 1])
        signals: list[str] = []
        if chart is not None and not chart.lower <= value <= chart.upper:
            signals.append("outside the control limits")
        if chart is not None and moved is not None and moved > chart.upper_range:
            signals.append("jumped from the build before")
        if chart is not None and _eight_on_one_side(values[: number + 1], chart.mean):
            signals.append("eight builds on one side of the mean")
        yield Point(
            session=record.session,
            job=record.job,
            at=reading.confirmed_at or reading.at,
            value=float(value),
            stated=str(reading.indication),
            moving_range=None if moved is None else float(moved),
            verdict=reading.judgement.verdict,
            signals=tuple(signals),
        )


def _eight_on_one_side(values: list[Fraction], mean: Fraction) -> bool:
    # Rule 4 of the Western Electric rules: e-Handbook 6.3.2 (WECO).
    last = values[-8:]
    return len(last) == 8 and (all(v > mean for v in last) or all(v < mean for v in last))
