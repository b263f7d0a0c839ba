"""Tightening in the record: passes, fasteners in their order, and what was done again."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import TypedDict, assert_never

from assistant.dialogue.kinds.tightening.facts import (
    CheckRepeated,
    FastenerReopened,
    FastenerTightened,
    TorqueAnnounced,
    TurnAnnounced,
)
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.kinds.tightening.stages import (
    last_torque,
    stages_of,
    target_of,
    turn_of,
)
from assistant.quantities.amount import Amount
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.lines.job import ToolLine
from assistant.report.lines.step import StepLine
from assistant.report.lines.tightening import PassLine, TightenedLine, TighteningLine
from assistant.report.model import BuildRecord
from assistant.report.sheet.blocks import Block
from assistant.report.sheet.joint import joint
from assistant.report.sheet.page import Page

_DONE_AGAIN = "step done again"
_CHECKED_AGAIN = "one moved, all were checked again"
_Own = TorqueAnnounced | TurnAnnounced | FastenerTightened | FastenerReopened | CheckRepeated


class TighteningReport(KindReport[_Own]):
    """Passes over a pattern of fasteners."""

    kind = "tightening"
    section = "Tightening"
    facts = (TorqueAnnounced, TurnAnnounced, FastenerTightened, FastenerReopened, CheckRepeated)

    def put(self, g: Gathering, fact: _Own) -> None:
        """A pass announced, a fastener tightened, or one to be done again."""
        match fact:
            case TorqueAnnounced():
                _announced(g, fact)
            case TurnAnnounced():
                _turn_announced(g, fact)
            case FastenerTightened():
                _tightened(g, fact)
            case FastenerReopened():
                _reopened(g, fact)
            case CheckRepeated():
                _repeated(g, fact)
            case _:
                assert_never(fact)

    def in_short(self, fact: _Own) -> str:
        """A fastener that was tightened, turned or checked."""
        if not isinstance(fact, FastenerTightened):
            return ""
        told = [f"set to {fact.torque}"] if fact.torque is not None else []
        if fact.at_fastener is not None:
            told[0] += f" ({fact.at_fastener} at the fastener)"
        if fact.turn is not None:
            told.append(f"{'loosened' if fact.loosened else 'turned on'} by {fact.turn}")
        if fact.moved is not None:
            told.append("it moved" if fact.moved else "it did not move")
        return f"pass {fact.pass_number}, {fact.fastener}: {', '.join(told)}"

    def part(self, page: Page, step: StepLine) -> list[Block]:
        """Each joint with its maps and passes."""
        return [block for line in page.tightenings.get(step.id, []) for block in joint(page, line)]

    def not_recorded(self, record: BuildRecord, step: TighteningStep) -> list[str]:
        """Fasteners that do not stand tightened in a pass."""
        done = {
            (one.number, t.fastener)
            for line in record.tightenings if line.step == step.id
            for one in line.passes for t in one.tightened if t.void_since is None
        }  # fmt: skip
        return [
            f"{step.id}: pass {number}, {label} is not recorded."
            for number in range(1, len(stages_of(step)) + 1)
            for label in step.fasteners
            if (number, label) not in done
        ]

    def reopened(self, g: Gathering, step: str, why: str = "reopened") -> None:
        """All of its tightening is void."""
        for one in _newest_first(g, step):
            if _done_again(one):
                return
            for done in one.tightened:
                _void(g, step, one, done, _DONE_AGAIN)


def _announced(g: Gathering, fact: TorqueAnnounced) -> None:
    """The torque of a pass was announced: the pass begins (or begins again)."""
    line = _line(g, fact.step, fact.target, fact.thread)
    tool = g.tool_used(line.tool)
    line.passes.append(
        PassLine(
            number=fact.pass_number,
            **_wrench(tool),
            work="check" if fact.check else "torque",
            torque=fact.torque,
            minimum=fact.minimum,
            up_to=fact.up_to,
            wanted=fact.wanted,
            assumed=fact.assumed,
            at_fastener=fact.at_fastener,
            turn=_turn(g, fact),
            length=fact.length,
            announced_at=g.at,
        )
    )


class _Wrench(TypedDict):
    wrench: str
    calibration_due: str | None


def _wrench(tool: ToolLine | None) -> _Wrench:
    """What a pass tells of its wrench."""
    if tool is None:
        return {"wrench": "", "calibration_due": None}
    return {"wrench": tool.own_name or tool.name, "calibration_due": tool.calibration_due}


def _turn_announced(g: Gathering, fact: TurnAnnounced) -> None:
    """A pass that only turns was announced."""
    line = _line(g, fact.step, None, "")
    line.passes.append(
        PassLine(
            number=fact.pass_number,
            work="loosen" if fact.loosen else "turn",
            torque=None,
            turn=fact.turn,
            announced_at=g.at,
        )
    )


def _tightened(g: Gathering, fact: FastenerTightened) -> None:
    """A fastener was tightened in a pass."""
    line = _line(g, fact.step, fact.torque, "")
    one = next((p for p in reversed(line.passes) if p.number == fact.pass_number), None)
    if one is None:
        one = PassLine(number=fact.pass_number, torque=fact.torque, announced_at=g.at)
        line.passes.append(one)
    now = _wrench(g.tool_used(line.tool))
    if one.wrench and now != _Wrench(wrench=one.wrench, calibration_due=one.calibration_due):
        # looked at again since it was announced, and calibrated meanwhile
        one = one.model_copy(update={**now, "announced_at": g.at, "tightened": []})
        line.passes.append(one)
    g.tightened[fact.step, fact.pass_number] += 1
    one.tightened.append(
        TightenedLine(
            fastener=fact.fastener,
            order=g.tightened[fact.step, fact.pass_number],
            at=g.at,
            torque=fact.torque,
            at_fastener=fact.at_fastener,
            turn=fact.turn,
            moved=fact.moved,
            together=fact.together,
            clip=g.clip,
        )
    )


def _repeated(g: Gathering, fact: CheckRepeated) -> None:
    """Fasteners moved in a check: what was found in it stays, but no longer counts."""
    for one in _newest_first(g, fact.step):
        if one.number != fact.pass_number or _done_again(one):
            return
        for done in one.tightened:
            _void(g, fact.step, one, done, _CHECKED_AGAIN)


def _reopened(g: Gathering, fact: FastenerReopened) -> None:
    """A fastener was missed: its tightening in that pass is void.

    A pass may have been announced more than once, when its wrench was changed in the middle.
    """
    for one in _newest_first(g, fact.step):
        if one.number == fact.pass_number:
            for done in one.tightened:
                if done.fastener == fact.fastener and done.void_since is None:
                    _void(g, fact.step, one, done, "missed")
                    return
        if _done_again(one):
            return


def _turn(g: Gathering, fact: TorqueAnnounced) -> Amount | None:
    """The turn that follows the torque of the pass at once."""
    step = g.step(fact.step, TighteningStep)
    stages = () if step is None else stages_of(step)
    number = fact.pass_number  # of a damaged record it may be anything
    return stages[number - 1].turn if 1 <= number <= len(stages) else None


def _done_again(one: PassLine) -> bool:
    """Whether the step was reopened since this pass; so it was since every pass before."""
    return any(done.void_why == _DONE_AGAIN for done in one.tightened)


def _void(g: Gathering, step: str, one: PassLine, done: TightenedLine, why: str) -> None:
    if done.void_since is None:
        done.void_since, done.void_why = g.at, why
        g.tightened[step, one.number] -= 1


def _newest_first(g: Gathering, step: str) -> Iterator[PassLine]:
    for line in g.record.tightenings:
        if line.step == step:
            yield from reversed(line.passes)


def _line(g: Gathering, step_id: str, target: Amount | None, thread: str) -> TighteningLine:
    for line in g.record.tightenings:
        if line.step == step_id:
            line.thread = line.thread or thread  # loosening comes before any torque
            return line
    step = g.step(step_id, TighteningStep)
    if step is not None and last_torque(step) is not None:
        target = target_of(step)
    target = target or Amount(Fraction(0), "N*m")  # of a procedure that cannot be read
    names = {c.id: c.name for c in g.procedure.consumables} if g.procedure else {}
    line = TighteningLine(
        step=step_id,
        tool="" if step is None else step.tool,
        pattern="given" if step is None else step.pattern,
        given=[] if step is None else list(step.fasteners),
        target=target,
        tolerance=None if step is None else step.tolerance,
        angle=None if step is None else turn_of(step),
        left_hand=step is not None and step.left_hand,
        thread=thread,
        lubricant="" if step is None else names.get(step.lubricant or "", ""),
        locker="" if step is None else names.get(step.locker or "", ""),
        stages=0 if step is None else len(stages_of(step)),
    )
    g.record.tightenings.append(line)
    return line
