"""The tool in hand: is it fit for the step, and in date? Asked before the step is described."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from assistant.dialogue.edition import LOOKS_AGAIN
from assistant.dialogue.effects import TOOL
from assistant.dialogue.facts import ToolChecked
from assistant.dialogue.gauging import tool_uncertainty
from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.states import Blocked
from assistant.dialogue.turn import Turn
from assistant.quantities.problem import Problem
from assistant.quantities.tools import BenchTool, Need, pick_tool, tool_findings


def obstacle(turn: Turn) -> str | None:
    """Why the step cannot be done with the tool at hand; None when it can.

    What is only to be known is said here. Without a bench inventory nothing is known of tools.
    """
    return kind_of(turn.step).obstacle(turn, turn.step)


def blocked_meanwhile(turn: Turn) -> bool:
    """As :func:`meanwhile`, where another tool does as well."""
    return meanwhile(turn) == "blocked"


def meanwhile(turn: Turn) -> Literal["same", "other", "blocked"]:
    """Look again at a tool that was fit when the step began, for it may have run out since.

    Nothing is said or recorded of a tool that still is. Another one, as of another bench, is named
    and recorded, and what it reads in is said.
    """
    trial = Turn(turn.context, turn.state, turn.at, turn.elapsed_ms)
    fit = obstacle(trial) is None
    other = trial.state.looked_at != turn.state.looked_at
    if fit and not (other and turn.state.edition >= LOOKS_AGAIN):
        return "same"
    if blocked(turn):
        return "blocked"
    kind_of(turn.step).say_tool(turn, turn.step)
    return "other"


def blocked(turn: Turn) -> bool:
    """Look at the tool in hand; blocks the step, and says why, where it must not be used."""
    why = obstacle(turn)
    if why is None:
        return False
    turn.go(Blocked(why))
    turn.say("tool_stops", tone="caution", about=TOOL, why=why)
    return True


def checked(turn: Turn, tool_id: str, need: Need) -> str | None:
    """Look at the tool called for, or at another for it; why it must not be used, if so."""
    put_by(turn, tool_id)
    tool = on_bench(turn, tool_id) or _propose(turn, tool_id, need)
    return None if tool is None else look_at(turn, tool_id, tool, need)


def put_by(turn: Turn, tool_id: str) -> None:
    """Nothing is in hand any longer in place of the tool called for."""
    turn.not_owed(TOOL)
    turn.put(
        in_hand={g: t for g, t in turn.state.in_hand.items() if g != tool_id},
        looked_at={g: t for g, t in turn.state.looked_at.items() if g != tool_id},
    )


def look_at(turn: Turn, tool_id: str, tool: BenchTool, need: Need) -> str | None:
    """Record what is found on the tool in hand; why it must not be used, None when it may."""
    findings = tool_findings(tool, need, datetime.fromisoformat(turn.at).date())
    stops = [turn.told(f.problem) for f in findings if f.stops]
    turn.put(looked_at={**turn.state.looked_at, tool_id: tool})
    due = tool.calibration_due
    turn.record(
        ToolChecked(
            step=turn.step.id,
            tool=tool.id,
            name=tool.name,
            calibration_due="" if due is None else due.isoformat(),
            findings=tuple(f.problem for f in findings),
            stops=bool(stops),
            instead_of="" if tool.id == tool_id else tool_id,
            unit=tool.unit,
            resolution=tool.resolution,
            uncertainty=tool_uncertainty(tool, turn.context.procedure.gauge(tool_id)),
        )
    )
    for finding in findings:
        if not finding.stops:
            turn.say("told", sentence=finding.problem)
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
    if isinstance(found, Problem):
        turn.say("tool_not_there", tone="caution", about=TOOL, name=name, why=found)
        return None
    turn.say("tool_instead", tone="caution", about=TOOL, name=name, other=found.name)
    turn.put(in_hand={**turn.state.in_hand, tool_id: found.id})
    return found


def on_bench(turn: Turn, tool_id: str) -> BenchTool | None:
    """The tool of the bench inventory with this id; None without one or without an inventory."""
    if turn.state.bench is None:
        return None
    return next((t for t in turn.state.bench.tools if t.id == tool_id), None)
