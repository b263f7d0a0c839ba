"""Torque, passes, pattern and lubricant of a tightening step; its wrench is checked beside."""

from __future__ import annotations

from itertools import pairwise

from assistant.procedure.finding import Findings
from assistant.procedure.kinds.tightening.bolt import check_bolt
from assistant.procedure.kinds.tightening.model import TighteningStep
from assistant.procedure.kinds.tightening.wrench import check_wrench
from assistant.quantities.units import same_dimension
from assistant.quantities.wrench import DEFAULT_SHARE, percent

_FEWEST = {"cross": 4, "ring": 3, "star": 5, "spiral": 4, "two_row": 4, "given": 1}


def check_tightening(findings: Findings, step: TighteningStep) -> None:
    """Check one tightening step, with its wrench and its bolt."""
    sound = _check_target(findings, step)
    _check_passes(findings, step)
    _check_stage(findings, step)
    _check_pattern(findings, step)
    _check_thread(findings, step)
    gauge = next((g for g in findings.procedure.gauges if g.id == step.tool), None)
    if gauge is not None and sound:
        check_wrench(findings, step, gauge)
    if step.bolt is not None:
        check_bolt(findings, step, step.bolt)


def _check_target(findings: Findings, step: TighteningStep) -> bool:
    if not same_dimension(step.target.unit, "N*m"):
        findings.error(
            step,
            f"The target {step.target} is not a torque; use N*m, lbf*ft or lbf*in.",
            "target",
        )
        return False
    if step.target.value <= 0:
        findings.error(step, f"The target torque is {step.target}; give the real one.", "target")
        return False
    if step.angle is not None:
        if not same_dimension(step.angle.unit, "deg"):
            findings.error(step, f"The angle {step.angle} is not an angle; use deg.", "angle")
        elif step.angle.value <= 0:
            findings.error(step, "The angle is not above zero; leave it out or set it.", "angle")
        elif not any(g.kind == "angle_gauge" for g in findings.procedure.gauges):
            findings.warn(step, "The step turns by angle, but no angle gauge is listed.", "angle")
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
    if not 0 < step.tolerance.to(step.target.unit).value < step.target.value:
        findings.error(
            step,
            f"The tolerance {step.tolerance} must lie between zero and the target {step.target}.",
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
    if len(passes) == 1 and len(step.fasteners) >= 4 and not _again(findings, step):
        findings.warn(
            step,
            f"{len(step.fasteners)} fasteners are tightened in a single pass, which draws the "
            "joint down unevenly; use passes such as [0.5, 0.75, 1].",
            "passes",
        )


def _again(findings: Findings, step: TighteningStep) -> bool:
    """Whether an earlier step tightened the same fasteners, so that this only goes round again."""
    steps = findings.procedure.steps
    return any(
        isinstance(other, TighteningStep)
        and set(other.fasteners) == set(step.fasteners)
        and other.target == step.target
        for other in steps[: steps.index(step)]
    )


def _check_stage(findings: Findings, step: TighteningStep) -> None:
    """Every tightening announces its target; a stage that only turns on would not mean it."""
    if step.angle is None or not same_dimension(step.target.unit, "N*m"):
        return
    steps = findings.procedure.steps
    place = steps.index(step)
    for index, before in enumerate(steps[:place]):
        if not isinstance(before, TighteningStep) or not same_dimension(before.target.unit, "N*m"):
            continue
        as_tight = before.target.to("N*m").value >= step.target.to("N*m").value
        if set(before.fasteners) != set(step.fasteners) or not (as_tight or before.angle):
            continue
        turned = " and turned by angle" if before.angle is not None else ""
        message = (
            f"These fasteners were tightened to {before.target}{turned} in step '{before.id}', so "
            f"the {step.target} announced here would mean nothing, and only the turn would be "
            "done; give torque and turn in one step."
        )
        # where nothing was fitted or loosened between, they can be no others of the same name
        if not any(s.changes_parts for s in steps[index + 1 : place]):
            findings.error(step, message, "angle")
            return
        findings.warn(step, f"If they are the same: {message[0].lower()}{message[1:]}", "angle")


def _check_pattern(findings: Findings, step: TighteningStep) -> None:
    count, fewest = len(step.fasteners), _FEWEST[step.pattern]
    if count < fewest:
        findings.error(
            step,
            f"The pattern '{step.pattern}' needs at least {fewest} fasteners and there "
            f"{'is' if count == 1 else 'are'} {count}; use 'given'.",
            "pattern",
        )
    elif step.pattern == "two_row" and count % 2:
        findings.error(step, "The pattern 'two_row' needs an even number of fasteners.", "pattern")
    elif step.pattern == "cross" and count % 2:
        findings.warn(
            step,
            f"No two of {count} fasteners are opposite; 'star' suits an odd number.",
            "pattern",
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
