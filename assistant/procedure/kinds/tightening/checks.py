"""Torque, passes, pattern and lubricant of a tightening step; stages and wrench have their own."""

from __future__ import annotations

from itertools import pairwise

from assistant.procedure.finding import Findings
from assistant.procedure.kinds.tightening.bolt import check_bolt
from assistant.procedure.kinds.tightening.locker import check_locker
from assistant.procedure.kinds.tightening.model import TighteningStep
from assistant.procedure.kinds.tightening.stage_checks import check_least, check_stages
from assistant.procedure.kinds.tightening.stages import stages_of, target_of, turn_of
from assistant.procedure.kinds.tightening.wrench import check_wrench
from assistant.quantities.amount import Amount
from assistant.quantities.patterns import Pattern
from assistant.quantities.units import same_dimension
from assistant.quantities.wrench import DEFAULT_SHARE, percent

_FEWEST: dict[Pattern, int] = {
    "cross": 4, "ring": 3, "star": 5, "spiral": 4, "two_row": 4, "given": 1,
}  # fmt: skip


def check_tightening(findings: Findings, step: TighteningStep) -> None:
    """Check one tightening step, with its wrench and its bolt."""
    sound = check_stages(findings, step) if step.stages else _check_target(findings, step)
    _check_pattern(findings, step, step.pattern, "pattern")
    for index, stage in enumerate(step.stages):
        if stage.pattern is not None:
            _check_pattern(findings, step, stage.pattern, "stages", index, "pattern")
    _check_thread(findings, step)
    check_locker(findings, step)
    if not sound:
        if step.bolt is not None:
            check_bolt(findings, step, step.bolt, None)
        return
    target = target_of(step)
    _check_turns(findings, step)
    sound = _check_tolerance(findings, step, target)
    _check_single_pass(findings, step, target)
    _check_turn_alone(findings, step, target)
    gauge = next((g for g in findings.procedure.gauges if g.id == step.tool), None)
    if gauge is not None and sound:
        check_wrench(findings, step, gauge)
    if step.bolt is not None:
        check_bolt(findings, step, step.bolt, target)


def _check_target(findings: Findings, step: TighteningStep) -> bool:
    """Target, angle and passes of a step without stages."""
    assert step.target is not None
    sound = _is_torque(findings, step, step.target)
    if step.angle is not None and not _is_turn(findings, step, step.angle):
        sound = False
    _check_passes(findings, step)
    if step.up_to is not None and not same_dimension(step.up_to.unit, "N*m"):
        findings.error(step, f"The torque {step.up_to} is not a torque.", "up_to")
        return False
    return sound and check_least(findings, step)


def _is_torque(findings: Findings, step: TighteningStep, target: Amount) -> bool:
    if not same_dimension(target.unit, "N*m"):
        findings.error(
            step, f"The target {target} is not a torque; use N*m, lbf*ft or lbf*in.", "target"
        )
        return False
    if target.value <= 0:
        findings.error(step, f"The target torque is {target}; give the real one.", "target")
        return False
    return True


def _is_turn(findings: Findings, step: TighteningStep, angle: Amount) -> bool:
    if not same_dimension(angle.unit, "deg"):
        findings.error(step, f"The angle {angle} is not an angle; use deg.", "angle")
        return False
    if angle.value <= 0:
        findings.error(step, "The angle is not above zero; leave it out or set it.", "angle")
        return False
    return True


def _check_turns(findings: Findings, step: TighteningStep) -> None:
    if any(s.turn is not None for s in stages_of(step)) and not any(
        g.kind == "angle_gauge" for g in findings.procedure.gauges
    ):
        place = "stages" if step.stages else "angle"
        findings.warn(step, "The step turns by angle, but no angle gauge is listed.", place)


def _check_tolerance(findings: Findings, step: TighteningStep, target: Amount) -> bool:
    if step.tolerance is None:
        findings.warn(
            step,
            f"The torque has no tolerance, so plus or minus {percent(DEFAULT_SHARE)} is taken "
            "(common practice, no source); give the manual's, such as 'tolerance: 1 lbf*ft'.",
        )
        return True
    if not same_dimension(step.tolerance.unit, "N*m"):
        findings.error(step, f"The tolerance {step.tolerance} is not a torque.", "tolerance")
        return False
    if not 0 < step.tolerance.to(target.unit).value < target.value:
        findings.error(
            step,
            f"The tolerance {step.tolerance} must lie between zero and the target {target}.",
            "tolerance",
        )
        return False
    return True


def _check_passes(findings: Findings, step: TighteningStep) -> None:
    passes = step.passes
    if any(share <= 0 for share in passes):
        findings.error(step, "A pass is not above zero; give it as a part of the target.", "passes")
    if any(share > 1 for share in passes):
        findings.error(step, "A pass is over 1, which goes past the target torque.", "passes")
    elif passes[-1] != 1:
        findings.error(step, "The last pass must be 1, the whole target torque.", "passes")
    if any(b <= a for a, b in pairwise(passes)):
        findings.error(step, "The passes must rise, such as [0.5, 0.75, 1].", "passes")


def _check_single_pass(findings: Findings, step: TighteningStep, target: Amount) -> None:
    stages = stages_of(step)
    if len(stages) == 1 and len(step.fasteners) >= 4 and not _again(findings, step, target):
        findings.warn(
            step,
            f"{len(step.fasteners)} fasteners are tightened in a single pass, which draws the "
            "joint down unevenly; use passes such as [0.5, 0.75, 1].",
            "stages" if step.stages else "passes",
        )


def _again(findings: Findings, step: TighteningStep, target: Amount) -> bool:
    """Whether an earlier step tightened the same fasteners, so that this only goes round again."""
    steps = findings.procedure.steps
    return any(
        isinstance(other, TighteningStep)
        and set(other.fasteners) == set(step.fasteners)
        and _final(other) == target
        for other in steps[: steps.index(step)]
    )


def _final(step: TighteningStep) -> Amount | None:
    """The final torque; None where the step has none; the check of that step reports it."""
    try:
        target = target_of(step)
    except ValueError:
        return None
    return target if same_dimension(target.unit, "N*m") else None


def _check_turn_alone(findings: Findings, step: TighteningStep, target: Amount) -> None:
    """Every tightening announces a torque; a step that only turns on would not mean it."""
    stages = stages_of(step)
    if turn_of(step) is None or stages[0].loosen is not None:
        return
    steps = findings.procedure.steps
    place = steps.index(step)
    for index, before in enumerate(steps[:place]):
        if not isinstance(before, TighteningStep) or (reached := _final(before)) is None:
            continue
        as_tight = reached.to("N*m").value >= target.to("N*m").value
        turned_before = turn_of(before) is not None
        if set(before.fasteners) != set(step.fasteners) or not (as_tight or turned_before):
            continue
        turned = " and turned by angle" if turned_before else ""
        message = (
            f"These fasteners were tightened to {reached}{turned} in step '{before.id}', so "
            f"the {target} announced here would mean nothing, and only the turn would be "
            "done; give torque and turn in one step."
        )
        key = "stages" if step.stages else "angle"
        # where nothing was fitted or loosened between, they can be no others of the same name
        if not any(s.changes_parts for s in steps[index + 1 : place]):
            findings.error(step, message, key)
            return
        findings.warn(step, f"If they are the same: {message[0].lower()}{message[1:]}", key)


def _check_pattern(
    findings: Findings, step: TighteningStep, pattern: Pattern, *place: str | int
) -> None:
    count, fewest = len(step.fasteners), _FEWEST[pattern]
    if count < fewest:
        findings.error(
            step,
            f"The pattern '{pattern}' needs at least {fewest} fasteners and there "
            f"{'is' if count == 1 else 'are'} {count}; use 'given'.",
            *place,
        )
    elif pattern == "two_row" and count % 2:
        findings.error(step, "The pattern 'two_row' needs an even number of fasteners.", *place)
    elif pattern == "cross" and count % 2:
        findings.warn(
            step, f"No two of {count} fasteners are opposite; 'star' suits an odd number.", *place
        )


def _check_thread(findings: Findings, step: TighteningStep) -> None:
    if step.thread == "lubricated" and step.lubricant is None:
        findings.error(
            step,
            "The thread is lubricated, but no lubricant is named; the torque holds for one only.",
            "thread",
        )
    if step.thread == "dry" and step.lubricant is not None:
        findings.error(
            step,
            f"The thread is dry, yet '{step.lubricant}' is named as its lubricant; oil on a dry "
            "torque stretches the bolt further.",
            "lubricant",
        )
