"""Rules about tools that change in the middle of a step: another bench, a calibration run out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from math import cos, radians

from assistant.dialogue.facts import Acknowledged, ToolChecked
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed, ReadingOffered
from assistant.dialogue.kinds.tightening.facts import TorqueAnnounced
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.quantities.tools import BenchTool
from tests.safety.stage_rules import written_stages
from tests.safety.trace import Trace

Breach = tuple[int, str]


def a_reading_is_by_a_gauge_that_was_there_and_looked_at(trace: Trace) -> Iterator[Breach]:
    """It was on the bench when the value was said, was found fit there, and was in date then."""
    for at, fact in trace.facts(ReadingConfirmed):
        said = trace.last(at, ReadingOffered, step=fact.step, position=fact.position)
        if said is None:
            continue  # of other rules
        what = f"{fact.step} {fact.position} was read with '{fact.tool}'"
        tool = trace.tool(said, fact.tool or fact.gauge)
        if tool is None:
            if fact.tool:
                yield at, f"{what}, which was not on the bench"
            continue
        if not fact.tool:
            yield at, f"{what}, but {tool.name} was on the bench"
        elif tool.name != fact.tool_name or tool.uncertainty not in (None, fact.uncertainty):
            yield at, f"{what}, which was not that of this bench"
        elif not _looked_at(trace, said, fact.step, tool):
            yield at, f"{what}, and nobody looked at it"
        if not _in_date(tool, _day(trace, said)):
            yield at, f"{what}, out of date since {tool.calibration_due}"


def a_wrench_is_in_date_when_its_torque_is_understood(trace: Trace) -> Iterator[Breach]:
    """The day may have changed since it was announced."""
    for at, fact in trace.facts(Acknowledged):
        step = trace.step(fact.step)
        if fact.of != "torque" or not isinstance(step, TighteningStep):
            continue
        tool = _tool_checked(trace, at, fact.step)
        if tool is not None and not _in_date(tool, _day(trace, at)):
            yield at, f"{fact.step}: {tool.name} is out of date since {tool.calibration_due}"


def _tool_checked(trace: Trace, at: int, step: str) -> BenchTool | None:
    """The tool that was last looked at for a step, on the bench that is there since."""
    since, _ = trace.bench(at)
    checked = trace.last(at, ToolChecked, step=step)
    found = None if checked is None or checked < since else trace.fact(checked)
    return trace.tool(at, found.tool) if isinstance(found, ToolChecked) else None


def a_setting_follows_the_wrench_in_hand(trace: Trace) -> Iterator[Breach]:
    """Through an adapter: set T L / (L + E cos a), L of that wrench (AC 43.13-1B figure 7-2)."""
    for at, fact in trace.facts(TorqueAnnounced):
        step = trace.step(fact.step)
        assert isinstance(step, TighteningStep)
        if step.adapter is None:
            continue
        tool = _tool_checked(trace, at, fact.step)
        own = None if tool is None else tool.length
        square = step.adapter.angle.value == 90
        if tool is not None and tool.id != step.tool and own is None and not square:
            yield at, f"{fact.step}: the length of {tool.name} is not known"
            continue
        gauge = trace.procedure.gauge(step.tool)
        mark = (gauge if tool is None else tool).resolution.to(fact.torque.unit).value
        wanted = _wanted(step, fact.pass_number, fact.torque.unit)
        long = float((own or step.adapter.length).to("mm").value)
        short = float(step.adapter.extension.to("mm").value)
        along = cos(radians(float(step.adapter.angle.value)))
        exact = wanted * long / (long + short * along)
        if abs(float(fact.torque.value) - exact) > float(mark) / 2 + 1e-9:
            yield at, f"{fact.step}: {fact.torque} was to be set, and {exact:.3f} is asked for"


def _wanted(step: TighteningStep, number: int, unit: str) -> float:
    asked = written_stages(step)[number - 1].wrench_torque
    assert asked is not None
    drag = 0 if step.prevailing is None else step.prevailing.to(unit).value
    return float(asked.to(unit).value + drag)


TOOL_RULES = (
    a_setting_follows_the_wrench_in_hand,
    a_reading_is_by_a_gauge_that_was_there_and_looked_at,
    a_wrench_is_in_date_when_its_torque_is_understood,
)


def _looked_at(trace: Trace, before: int, step: str, tool: BenchTool) -> bool:
    since, _ = trace.bench(before)
    return any(
        at > since and not found.stops
        for at, found in trace.facts(ToolChecked, until=before)
        if (found.step, found.tool, found.name) == (step, tool.id, tool.name)
    )


def _in_date(tool: BenchTool, day: date) -> bool:
    return tool.calibration_due is None or tool.calibration_due >= day


def _day(trace: Trace, at: int) -> date:
    return datetime.fromisoformat(trace.event(at).at).date()
