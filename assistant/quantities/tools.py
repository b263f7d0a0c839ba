"""Whether a tool of the bench suits a job, and which one suits best."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from assistant.quantities.amount import Amount
from assistant.quantities.bench import TORQUE_TOOLS, Bench, BenchTool, Member, ToolKind
from assistant.quantities.limits import Limits
from assistant.quantities.problem import Problem, problem
from assistant.quantities.units import same_dimension

__all__ = [
    "Bench",
    "BenchTool",
    "Member",
    "Need",
    "ToolFinding",
    "ToolKind",
    "kind_name",
    "pick_tool",
    "tool_findings",
    "usable_low",
]

_NOT_CALIBRATED = ("shim_set", "plastic_gauge")  # consumed, not calibrated


@dataclass(frozen=True)
class Need:
    """What a step asks of a tool: ``low`` to ``high`` is what it will have to show.

    ``tolerance`` is the whole width of what is permissible (upper minus lower limit, or twice a
    plus-or-minus), None where there is no width.
    """

    kind: ToolKind
    low: Amount | None = None
    high: Amount | None = None
    tolerance: Amount | None = None

    @staticmethod
    def of_limits(kind: ToolKind, limits: Limits) -> Need:
        """A gauge that measures against ``limits``."""
        width = None
        low, high = limits.lower, limits.upper
        if low is not None and high is not None:
            width = Amount(high.to(low.unit).value - low.value, low.unit)
        return Need(kind, low, high, width)


@dataclass(frozen=True)
class ToolFinding:
    """What there is to say of a tool; ``stops`` when it must not be used for this."""

    problem: Problem
    stops: bool


def tool_findings(tool: BenchTool, need: Need, today: date) -> tuple[ToolFinding, ...]:
    """What is to be said before ``tool`` is used; empty when all is well.

    Range: within the tool's own, and for a torque wrench or driver from 20 % of full scale unless
    the tool states otherwise (common practice, no source; ISO 6789:2003 tested from there).
    Resolution: a tenth of the tolerance by rule of thumb, a quarter at the least (common practice,
    no source). Calibration: not past its due day.
    """
    if tool.kind != need.kind:
        kinds = {"got": kind_name(tool.kind), "wanted": kind_name(need.kind)}
        return (ToolFinding(problem("tool_wrong_kind", tool=tool.name, **kinds), True),)
    asked = [amount for amount in (need.low, need.high, need.tolerance) if amount is not None]
    for amount in asked:
        if not same_dimension(amount.unit, tool.unit):
            wrong = problem("tool_wrong_unit", tool=tool.name, unit=tool.unit, amount=amount)
            return (ToolFinding(wrong, True),)
    found = (_calibration(tool, today), *_range(tool, need), _resolution(tool, need))
    return tuple(finding for finding in found if finding is not None)


def _calibration(tool: BenchTool, today: date) -> ToolFinding | None:
    if tool.calibration_due is None:
        if tool.kind in _NOT_CALIBRATED:
            return None
        return ToolFinding(problem("tool_undated", tool=tool.name), False)
    if tool.calibration_due < today:
        day = tool.calibration_due.isoformat()
        return ToolFinding(problem("tool_expired", tool=tool.name, day=day), True)
    return None


def _range(tool: BenchTool, need: Need) -> list[ToolFinding]:
    found: list[ToolFinding] = []
    top, high = tool.upper, need.high
    if top is not None and high is not None and high.to(top.unit).value > top.value:
        over = problem("tool_over_range", tool=tool.name, amount=high, top=top)
        found.append(ToolFinding(over, True))
    low = usable_low(tool)
    if low is not None and need.low is not None and need.low.to(low.unit).value < low.value:
        under = problem("tool_under_range", tool=tool.name, amount=need.low, low=low)
        found.append(ToolFinding(under, True))
    return found


def usable_low(tool: BenchTool) -> Amount | None:
    """Where the tool's usable range begins; None when it is not stated."""
    low = tool.lower
    if tool.kind not in TORQUE_TOOLS or tool.upper is None:
        return low
    part = Amount(tool.upper.value * Fraction(tool.usable_from), tool.upper.unit)
    return part if low is None or low.to(part.unit).value < part.value else low


def _resolution(tool: BenchTool, need: Need) -> ToolFinding | None:
    if need.tolerance is None or tool.kind in ("feeler", "shim_set", "plug_gauge", "ring_gauge"):
        return None  # a set is as fine as its members, not as a scale
    step = tool.resolution.difference_to(tool.unit)
    width = need.tolerance.difference_to(tool.unit)
    told = {"tool": tool.name, "step": tool.resolution, "width": need.tolerance}
    if step * 4 > width:
        return ToolFinding(problem("tool_too_coarse", **told), True)
    if step * 10 > width:
        return ToolFinding(problem("tool_coarse", **told), False)
    return None


def kind_name(kind: ToolKind) -> Problem:
    """A kind of tool, to be named in a problem."""
    return problem("kind_" + kind)


def pick_tool(tools: Sequence[BenchTool], need: Need, today: date) -> BenchTool | Problem:
    """The tool on the bench that suits best; what stands in the way when none may be used.

    Fewest remarks first, then the smallest range that holds the job, then the finest resolution,
    then by id.
    """
    of_kind = [tool for tool in tools if tool.kind == need.kind]
    name = kind_name(need.kind)
    if not of_kind:
        return problem("tool_none", kind=name)
    findings = {tool.id: tool_findings(tool, need, today) for tool in of_kind}
    usable = [tool for tool in of_kind if not any(f.stops for f in findings[tool.id])]
    if not usable:
        first = next(f for f in findings[of_kind[0].id] if f.stops)
        return problem("tool_none_will_do", kind=name, why=first.problem)

    def rank(tool: BenchTool) -> tuple[int, bool, Fraction, Fraction, str]:
        unit = usable[0].unit
        reach = Fraction(0) if tool.upper is None else tool.upper.to(unit).value
        fine = tool.resolution.difference_to(unit)
        return len(findings[tool.id]), tool.upper is None, reach, fine, tool.id

    return min(usable, key=rank)
