"""What a tightening step sets on its wrench: adapter, prevailing torque and passes together."""

from __future__ import annotations

from fractions import Fraction

from assistant.procedure.kinds.tightening.model import TighteningStep
from assistant.procedure.listed import Gauge
from assistant.procedure.outline import Outline
from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits
from assistant.quantities.passes import PassTarget, TighteningSequence, pass_plan
from assistant.quantities.problem import Problem, problem
from assistant.quantities.units import UnitError
from assistant.quantities.wrench import (
    Adapter,
    TighteningError,
    WantedTorque,
    WrenchScale,
    adapter,
    default_tolerance,
)


def adapter_of(step: TighteningStep) -> Adapter | None:
    """The correction for the step's adapter; None without one.

    Raises:
        TighteningError: the adapter cannot be; its ``problem`` tells why.
    """
    if step.adapter is None:
        return None
    return adapter(step.adapter.length, step.adapter.extension, step.adapter.angle)


def tolerance_of(step: TighteningStep) -> Amount:
    """Plus or minus what the torque may be off: the procedure's, or the default without one."""
    return step.tolerance or default_tolerance(step.target)


def share_of(step: TighteningStep, pass_index: int) -> Amount:
    """The torque that a fastener is to get in a pass: its share of the target, unrounded."""
    return Amount(step.target.value * Fraction(step.passes[pass_index]), step.target.unit)


def plan_of(procedure: Outline, step: TighteningStep) -> tuple[PassTarget, ...] | Problem:
    """The passes of ``step`` with the setting of each; a problem when there can be none."""
    tool = next((g for g in procedure.gauges if g.id == step.tool), None)
    if tool is None:
        return problem("wrench_not_listed", tool=step.tool)
    return plan_on(step, tool)


def plan_on(step: TighteningStep, tool: Gauge) -> tuple[PassTarget, ...] | Problem:
    """The passes of ``step`` with the wrench ``tool``; a problem when there can be none."""
    try:
        return passes_on(step, tool)
    except TighteningError as fault:
        return fault.problem
    except UnitError:
        return problem("wrench_unit")


def passes_on(step: TighteningStep, tool: Gauge) -> tuple[PassTarget, ...]:
    """The passes of ``step`` with the wrench ``tool``: what to set, in its unit, in which order.

    Raises:
        TighteningError: the wrench cannot give a torque of the step.
        UnitError: the step or the wrench is written in units that are not for torque.
    """
    return pass_plan(
        WantedTorque(step.target, step.tolerance, step.prevailing),
        TighteningSequence(step.passes, step.pattern, len(step.fasteners)),
        WrenchScale(tool.resolution.to(tool.unit), tool.lower, tool.upper),
        adapter_of(step),
    )


def torque_limits(step: TighteningStep) -> Limits:
    """Target less and plus the tolerance, in the target's unit; the target alone without one."""
    unit, target = step.target.unit, step.target.value
    slack = step.tolerance.to(unit).value if step.tolerance is not None else Fraction(0)
    if not slack:
        return Limits(step.target, step.target)
    return Limits(Amount(target - slack, unit), Amount(target + slack, unit))
