"""What a tightening step sets on its wrench: adapter, prevailing torque and stages together."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import floor

from assistant.procedure.kinds.tightening.model import Stage, TighteningStep, WrenchAdapter
from assistant.procedure.kinds.tightening.stages import runs_of, stages_of, target_of
from assistant.procedure.listed import BenchWrench, Gauge
from assistant.procedure.outline import Outline
from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits
from assistant.quantities.passes import TighteningSequence, pass_plan
from assistant.quantities.patterns import Pattern
from assistant.quantities.problem import Problem, problem
from assistant.quantities.units import UnitError
from assistant.quantities.wrench import (
    Adapter,
    ScaleSetting,
    TighteningError,
    WantedTorque,
    WrenchScale,
    adapter,
    default_tolerance,
    wrench_setting,
)

Settings = tuple[ScaleSetting | None, ...]
"""What to set for each stage; None for one that only turns."""


def adapter_of(step: TighteningStep, tool: Gauge | None = None) -> Adapter | None:
    """The correction for the step's adapter on the wrench ``tool``; None without one.

    Raises:
        TighteningError: the adapter cannot be, or the length of the wrench is not known; its
            ``problem`` tells why.
    """
    return _adapter(step.adapter, tool)


def _adapter(fitted: WrenchAdapter | None, tool: Gauge | None) -> Adapter | None:
    if fitted is None:
        return None
    of_any = adapter(fitted.length, fitted.extension, fitted.angle)
    if of_any.direction == "same":
        return of_any  # whatever the length
    length = _length(fitted, tool)
    if length is None:
        assert tool is not None
        raise TighteningError("wrench_length_unknown", tool=tool.name)
    return adapter(length, fitted.extension, fitted.angle)


def held_at(step: TighteningStep, tool: Gauge) -> Amount | None:
    """How far from the square the wrench is held; None where that changes nothing."""
    if step.adapter is None or (found := adapter_of(step, tool)) is None:
        return None
    return None if found.direction == "same" else _length(step.adapter, tool)


def _length(fitted: WrenchAdapter, tool: Gauge | None) -> Amount | None:
    return tool.length if isinstance(tool, BenchWrench) else fitted.length


def tolerance_of(step: TighteningStep) -> Amount:
    """Plus or minus what the torque may be off: the procedure's, or the default without one."""
    return step.tolerance or default_tolerance(target_of(step))


def plan_of(procedure: Outline, step: TighteningStep) -> Settings | Problem:
    """The setting of each stage of ``step``; a problem when there can be none."""
    tool = next((g for g in procedure.gauges if g.id == step.tool), None)
    if tool is None:
        return problem("wrench_not_listed", tool=step.tool)
    return plan_on(step, tool)


def plan_on(step: TighteningStep, tool: Gauge) -> Settings | Problem:
    """The setting of each stage with the wrench ``tool``; a problem when there can be none."""
    try:
        return settings_on(step, tool)
    except TighteningError as fault:
        return fault.problem
    except UnitError:
        return problem("wrench_unit")


def settings_on(step: TighteningStep, tool: Gauge) -> Settings:
    """What to set on the wrench ``tool`` for each stage, in its unit.

    Raises:
        TighteningError: the wrench cannot give a torque of the step.
        UnitError: the step or the wrench is written in units that are not for torque.
    """
    joint = _Joint(
        stages_of(step), step.tolerance, step.prevailing, step.pattern, len(step.fasteners)
    )
    return _settings(joint, step.adapter, tool)


@dataclass(frozen=True)
class _Joint:
    """What of a step its settings follow from, beside the adapter."""

    stages: tuple[Stage, ...]
    tolerance: Amount | None
    prevailing: Amount | None
    pattern: Pattern
    count: int


@lru_cache(maxsize=256)  # they are asked for several times at every fastener
def _settings(joint: _Joint, fitted: WrenchAdapter | None, tool: Gauge) -> Settings:
    stages = joint.stages
    scale = WrenchScale(tool.resolution.to(tool.unit), tool.lower, tool.upper)
    settings: list[ScaleSetting | None] = [None] * len(stages)
    for run in runs_of(stages):
        torques = [stages[index].torque for index in run]
        last = torques[-1]
        assert last is not None
        if last.value <= 0:
            raise TighteningError("torque_not_above_zero", target=last)
        shares = [t.to(last.unit).value / last.value for t in torques if t is not None]
        plan = pass_plan(
            WantedTorque(last, joint.tolerance, joint.prevailing),
            TighteningSequence(shares, joint.pattern, joint.count),
            scale,
            _adapter(fitted, tool),
        )
        for index, one in zip(run, plan, strict=True):
            settings[index] = one.setting
    for index, stage in enumerate(stages):
        if stage.check is not None:
            wanted = WantedTorque(stage.check, joint.tolerance, joint.prevailing)
            settings[index] = wrench_setting(wanted, scale, _adapter(fitted, tool))
        most_on(stage, settings[index], tool)
    return tuple(settings)


def most_on(stage: Stage, setting: ScaleSetting | None, tool: Gauge) -> Amount | None:
    """The mark that the torque of a stage may reach and not pass; None without ``up_to``.

    Raises:
        TighteningError: no mark from the setting on is within it.
    """
    if stage.up_to is None or setting is None:
        return None
    mark = tool.resolution.to(tool.unit).value
    most = Amount(floor(stage.up_to.to(tool.unit).value / mark) * mark, tool.unit)
    if most.value < setting.setting.value:
        raise TighteningError("no_mark_up_to", most=stage.up_to, setting=setting.setting)
    return most


def torque_limits(step: TighteningStep) -> Limits:
    """The final torque less and plus the tolerance, in its unit; the torque alone without one."""
    target = target_of(step)
    unit = target.unit
    slack = step.tolerance.to(unit).value if step.tolerance is not None else Fraction(0)
    if not slack:
        return Limits(target, target)
    return Limits(Amount(target.value - slack, unit), Amount(target.value + slack, unit))
