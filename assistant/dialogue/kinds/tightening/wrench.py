"""The wrench in hand: whether its marks give the torques of every pass, and which other would."""

from __future__ import annotations

from datetime import datetime

from assistant.dialogue.effects import TOOL
from assistant.dialogue.gauging import wrench_as, wrench_in_hand
from assistant.dialogue.tooling import look_at, on_bench, put_by
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.kinds.tightening.plan import Settings, plan_on
from assistant.quantities.amount import Amount
from assistant.quantities.problem import Problem
from assistant.quantities.tools import BenchTool, Need, ToolKind, pick_tool


def wrench_obstacle(turn: Turn, step: TighteningStep) -> str | None:
    """Why the step cannot be done with the wrench at hand; None when it can."""
    put_by(turn, step.tool)
    kind = turn.context.procedure.gauge(step.tool).kind
    plan = plan_on(step, wrench_in_hand(turn.context.procedure, turn.state, step.tool))
    if isinstance(plan, Problem):
        return turn.told(plan)
    tool = on_bench(turn, step.tool) or _other_wrench(turn, step, _need(kind, step, plan))
    if tool is None:
        return None
    plan = plan_on(step, wrench_in_hand(turn.context.procedure, turn.state, step.tool))
    if isinstance(plan, Problem):
        return turn.told(plan)
    return look_at(turn, step.tool, tool, _need(kind, step, plan))


def _need(kind: ToolKind, step: TighteningStep, plan: Settings) -> Need:
    """What the wrench has to give, with adapter and drag in it, from the least torque on."""
    width = step.tolerance and Amount(2 * step.tolerance.value, step.tolerance.unit)
    marks = sorted((s.setting for s in plan if s is not None), key=lambda mark: mark.value)
    return Need(kind, marks[0], marks[-1], width)


def _other_wrench(turn: Turn, step: TighteningStep, need: Need) -> BenchTool | None:
    """The wrench called for is not on the bench: take one whose marks give the torques too.

    It is the one in hand from then on, so that what is announced is what is set on it.
    """
    if turn.state.bench is None:
        return None
    procedure = turn.context.procedure
    name = procedure.gauge(step.tool).name
    today = datetime.fromisoformat(turn.at).date()
    tools = list(turn.state.bench.tools)
    why: Problem | None = None
    while not isinstance(found := pick_tool(tools, need, today), Problem):
        plan = plan_on(step, wrench_as(turn.state, procedure.gauge(step.tool), found))
        if not isinstance(plan, Problem):
            turn.say("tool_instead", tone="caution", about=TOOL, name=name, other=found.name)
            turn.put(in_hand={**turn.state.in_hand, step.tool: found.id})
            return found
        tools, why = [t for t in tools if t is not found], plan
    turn.say("tool_not_there", tone="caution", about=TOOL, name=name, why=why or found)
    return None
