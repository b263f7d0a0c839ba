"""Tightening steps: torque, passes, pattern, wrench and lubricant."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from assistant.procedure.finding import Findings
from assistant.procedure.models import Gauge, TighteningStep
from assistant.quantities.units import same_dimension

_FEWEST = {"cross": 4, "ring": 3, "star": 5, "spiral": 4, "two_row": 4, "given": 1}


def check_tightening(findings: Findings) -> None:
    """Check every tightening step."""
    for step in findings.procedure.steps:
        if not isinstance(step, TighteningStep):
            continue
        sound = _check_target(findings, step)
        _check_passes(findings, step)
        _check_pattern(findings, step)
        _check_thread(findings, step)
        gauge = next((g for g in findings.procedure.gauges if g.id == step.tool), None)
        if gauge is not None and sound:
            _check_wrench(findings, step, gauge)


def _check_target(findings: Findings, step: TighteningStep) -> bool:
    if not same_dimension(step.target.unit, "N*m"):
        findings.error(
            step,
            f"The target {step.target} is no torque; use N*m, lbf*ft or lbf*in.",
            "target",
        )
        return False
    if step.target.value <= 0:
        findings.error(step, f"The target torque is {step.target}; give the real one.", "target")
        return False
    if step.angle is not None:
        if not same_dimension(step.angle.unit, "deg"):
            findings.error(step, f"The angle {step.angle} is no angle; use deg.", "angle")
        elif step.angle.value <= 0:
            findings.error(step, "The angle is not above zero; leave it out or set it.", "angle")
        elif not any(g.kind == "angle_gauge" for g in findings.procedure.gauges):
            findings.warn(step, "The step turns by angle, but no angle gauge is listed.", "angle")
    if step.tolerance is None:
        findings.warn(step, "The torque has no tolerance; give one, such as '1 lbf*ft'.")
        return True
    if not same_dimension(step.tolerance.unit, "N*m"):
        findings.error(step, f"The tolerance {step.tolerance} is no torque.", "tolerance")
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
            f"No two of {count} fasteners lie opposite; 'star' suits an odd number.",
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


def _check_wrench(findings: Findings, step: TighteningStep, tool: Gauge) -> None:
    if tool.kind != "torque_wrench":
        findings.error(
            step,
            f"The tool '{tool.id}' is a {tool.kind.replace('_', ' ')}, not a torque wrench.",
            "tool",
        )
        return
    amounts = (tool.lower, tool.upper, tool.resolution)
    if not all(a is None or same_dimension(a.unit, "N*m") for a in amounts) or not same_dimension(
        tool.unit, "N*m"
    ):
        findings.error(step, f"The tool '{tool.id}' reads {tool.unit}, which is no torque.", "tool")
        return
    target = step.target.to(tool.unit).value
    _check_range(findings, step, tool, target)
    _check_graduation(findings, step, tool, target)


def _check_range(findings: Findings, step: TighteningStep, tool: Gauge, target: Fraction) -> None:
    """A wrench is trusted from a fifth of its range up (ISO 6789-1, from memory)."""
    if tool.upper is None:
        findings.warn(step, f"The wrench '{tool.id}' states no range; give 'upper'.", "tool")
        return
    upper = tool.upper.to(tool.unit).value
    lower = tool.lower.to(tool.unit).value if tool.lower is not None else Fraction(0)
    if target > upper:
        findings.error(
            step,
            f"The target {step.target} is over the range of wrench '{tool.id}' ({tool.upper}).",
            "target",
        )
        return
    for share in step.passes:
        torque = target * Fraction(share)
        if torque < lower:
            level = findings.error if share == 1 else findings.warn
            level(
                step,
                f"The pass {share} is under the range of wrench '{tool.id}' ({tool.lower}).",
                *("passes",),
            )
        elif torque * 5 < upper:
            findings.warn(
                step,
                f"The pass {share} lies in the lowest fifth of wrench '{tool.id}', where a wrench "
                "is not to be trusted; use a smaller one.",
                "passes",
            )


def _check_graduation(
    findings: Findings, step: TighteningStep, tool: Gauge, target: Fraction
) -> None:
    """What is set on the wrench is rounded to a graduation and must stay in tolerance."""
    graduation = tool.resolution.to(tool.unit).value
    if graduation <= 0:
        return
    off = abs(round(target / graduation) * graduation - target)
    if step.tolerance is not None and off > step.tolerance.to(tool.unit).value:
        findings.error(
            step,
            f"The nearest mark of wrench '{tool.id}' misses the target {step.target} by more than "
            f"its tolerance {step.tolerance}; use a finer wrench.",
            "target",
        )
    elif step.tolerance is None and off:
        findings.warn(step, f"The target {step.target} is no mark of wrench '{tool.id}'.", "target")
