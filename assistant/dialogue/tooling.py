"""The tool in hand: is it fit for the step, and in date? Asked before the step's work is told."""

from __future__ import annotations

from datetime import datetime
from typing import assert_never

from assistant.dialogue.facts import ToolChecked
from assistant.dialogue.gauging import gauge_in_hand, tool_uncertainty, wrench_as, wrench_in_hand
from assistant.dialogue.state import Blocked
from assistant.dialogue.turn import Turn
from assistant.procedure.models import (
    ActionStep,
    CautionStep,
    ChoiceStep,
    DerivedStep,
    IdentificationStep,
    InspectionStep,
    MeasurementStep,
    ShimStep,
    TighteningStep,
    WaitStep,
)
from assistant.procedure.wrench_plan import plan_on
from assistant.quantities.amount import Amount
from assistant.quantities.passes import PassTarget
from assistant.quantities.tools import BenchTool, Need, pick_tool, tool_findings


def obstacle(turn: Turn) -> str | None:
    """Why the step cannot be done with the tool at hand; None when it can.

    What is only to be known is said here. Without a bench inventory nothing is known of tools.
    """
    step = turn.step
    match step:
        case TighteningStep():
            return _wrench_obstacle(turn, step)
        case ShimStep():
            return _checked(turn, step.stock, Need("shim_set"))
        case MeasurementStep():
            return _gauge_obstacle(turn, step)
        case (
            CautionStep() | ActionStep() | DerivedStep() | IdentificationStep()
            | ChoiceStep() | WaitStep() | InspectionStep()
        ):  # fmt: skip
            return None
        case _:
            assert_never(step)


def blocked_meanwhile(turn: Turn) -> bool:
    """Look once more at a tool that was fit when the step began, for it may have run out since.

    Nothing is said or recorded of a tool that still is.
    """
    trial = Turn(turn.context, turn.state, turn.at, turn.elapsed_ms)
    return obstacle(trial) is not None and blocked(turn)


def blocked(turn: Turn) -> bool:
    """Look at the tool in hand; blocks the step, and says why, where it must not be used."""
    why = obstacle(turn)
    if why is None:
        return False
    turn.go(Blocked())
    turn.say("tool_stops", tone="caution", why=why)
    return True


def _gauge_obstacle(turn: Turn, step: MeasurementStep) -> str | None:
    procedure = turn.context.procedure
    kind = procedure.gauge(step.gauge).kind
    why = _checked(turn, step.gauge, Need.of_limits(kind, step.limits))
    if why is not None or step.rule != "guarded" or step.limits.none:
        return why
    gauge = gauge_in_hand(procedure, turn.state, step.gauge)
    return None if gauge.uncertainty is not None else turn.words("guard_unknown", name=gauge.name)


def _wrench_obstacle(turn: Turn, step: TighteningStep) -> str | None:
    _put_by(turn, step.tool)
    passes = plan_on(step, wrench_in_hand(turn.context.procedure, turn.state, step.tool))
    if isinstance(passes, str):
        return passes
    tool = on_bench(turn, step.tool) or _other_wrench(turn, step, _need(step, passes))
    if tool is None:
        return None
    passes = plan_on(step, wrench_in_hand(turn.context.procedure, turn.state, step.tool))
    return (
        passes if isinstance(passes, str) else _look_at(turn, step.tool, tool, _need(step, passes))
    )


def _need(step: TighteningStep, passes: tuple[PassTarget, ...]) -> Need:
    """What the wrench has to give, with adapter and drag in it, from the first pass on."""
    width = step.tolerance and Amount(2 * step.tolerance.value, step.tolerance.unit)
    return Need("torque_wrench", passes[0].setting.setting, passes[-1].setting.setting, width)


def _other_wrench(turn: Turn, step: TighteningStep, need: Need) -> BenchTool | None:
    """The wrench called for is not on the bench: take one whose marks give the torques too.

    It is the one in hand from then on, so that what is announced is what is set on it.
    """
    if turn.state.bench is None:
        return None
    procedure = turn.context.procedure
    name = procedure.gauge(step.tool).name
    today = datetime.fromisoformat(turn.at).date()
    tools, why = list(turn.state.bench.tools), ""
    while not isinstance(found := pick_tool(tools, need, today), str):
        plan = plan_on(step, wrench_as(procedure.gauge(step.tool), found))
        if not isinstance(plan, str):
            turn.say("tool_instead", tone="caution", name=name, other=found.name)
            turn.put(in_hand={**turn.state.in_hand, step.tool: found.id})
            return found
        tools, why = [t for t in tools if t is not found], plan
    turn.say("tool_not_there", tone="caution", name=name, why=why or found)
    return None


def _checked(turn: Turn, tool_id: str, need: Need) -> str | None:
    _put_by(turn, tool_id)
    tool = on_bench(turn, tool_id) or _propose(turn, tool_id, need)
    return None if tool is None else _look_at(turn, tool_id, tool, need)


def _put_by(turn: Turn, tool_id: str) -> None:
    """Nothing is in hand any longer in place of the tool called for."""
    turn.put(in_hand={g: t for g, t in turn.state.in_hand.items() if g != tool_id})


def _look_at(turn: Turn, tool_id: str, tool: BenchTool, need: Need) -> str | None:
    """Record what is found on the tool in hand; why it must not be used, None when it may."""
    findings = tool_findings(tool, need, datetime.fromisoformat(turn.at).date())
    stops = [f.sentence for f in findings if f.stops]
    due = tool.calibration_due
    turn.record(
        ToolChecked(
            step=turn.step.id,
            tool=tool.id,
            name=tool.name,
            calibration_due="" if due is None else due.isoformat(),
            findings=tuple(f.sentence for f in findings),
            stops=bool(stops),
            instead_of="" if tool.id == tool_id else tool_id,
            unit=tool.unit,
            resolution=tool.resolution,
            uncertainty=tool_uncertainty(tool, turn.context.procedure.gauge(tool_id)),
        )
    )
    for finding in findings:
        if not finding.stops:
            turn.say("told", sentence=finding.sentence)
    return " ".join(stops) or None


def _propose(turn: Turn, tool_id: str, need: Need) -> BenchTool | None:
    """The tool is not in the inventory: name one that would do, or say why none does.

    It is the one in hand from then on: its unit, marks, range or shims count.
    """
    if turn.state.bench is None:
        return None
    name = turn.context.procedure.gauge(tool_id).name
    today = datetime.fromisoformat(turn.at).date()
    found = pick_tool(turn.state.bench.tools, need, today)
    if isinstance(found, str):
        turn.say("tool_not_there", tone="caution", name=name, why=found)
        return None
    turn.say("tool_instead", tone="caution", name=name, other=found.name)
    turn.put(in_hand={**turn.state.in_hand, tool_id: found.id})
    return found


def on_bench(turn: Turn, tool_id: str) -> BenchTool | None:
    """The tool of the bench inventory with this id; None without one or without an inventory."""
    if turn.state.bench is None:
        return None
    return next((t for t in turn.state.bench.tools if t.id == tool_id), None)
