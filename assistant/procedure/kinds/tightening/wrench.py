"""The wrench of a tightening step: its kind, adapter, range and marks."""

from __future__ import annotations

from fractions import Fraction

from assistant.language.english import in_english
from assistant.procedure.finding import Findings
from assistant.procedure.kinds.tightening.model import TighteningStep
from assistant.procedure.kinds.tightening.plan import adapter_of, plan_on, tolerance_of
from assistant.procedure.kinds.tightening.stages import stages_of, target_of
from assistant.procedure.listed import Gauge
from assistant.quantities.amount import Amount
from assistant.quantities.bench import TORQUE_TOOLS
from assistant.quantities.problem import Problem
from assistant.quantities.units import same_dimension
from assistant.quantities.wrench import TighteningError, nearest_mark, percent, wrench_error
from assistant.shown_text import id_in_words


def check_wrench(findings: Findings, step: TighteningStep, tool: Gauge) -> None:
    """Check that ``tool`` can give the torques of ``step``, whose target is a sound torque."""
    if tool.kind not in TORQUE_TOOLS:
        findings.error(
            step,
            f"The tool '{tool.id}' is a {id_in_words(tool.kind)}, not a torque wrench.",
            "tool",
        )
        return
    amounts = (tool.lower, tool.upper, tool.resolution)
    if not all(a is None or same_dimension(a.unit, "N*m") for a in amounts) or not same_dimension(
        tool.unit, "N*m"
    ):
        findings.error(
            step, f"The tool '{tool.id}' reads {tool.unit}, which is not a torque.", "tool"
        )
        return
    drag = _prevailing(findings, step, tool)
    factor = _adapter(findings, step)
    if drag is None or factor is None:
        return
    target = target_of(step).to(tool.unit).value
    before = len(findings.found)
    _check_range(findings, step, tool, drag, factor)
    _check_mark(findings, step, tool, (target + drag) * factor, factor)
    if any(f.level == "error" for f in findings.found[before:]) or not _rise(step):
        return  # reported already
    _check_error(findings, step, tool)
    plan = plan_on(step, tool)
    if isinstance(plan, Problem):
        findings.error(step, in_english(plan), _torques(step))


def _torques(step: TighteningStep) -> str:
    """The key that the torques of the step stand under."""
    return "stages" if step.stages else "passes"


def _rise(step: TighteningStep) -> bool:
    """Whether passes and pattern are sound; otherwise they have a finding of their own."""
    passes = step.passes
    return passes[0] > 0 and passes[-1] == 1 and list(passes) == sorted(set(passes))


def _prevailing(findings: Findings, step: TighteningStep, tool: Gauge) -> Fraction | None:
    """The prevailing torque in the tool's unit; None when it is unsound."""
    drag = step.prevailing
    if drag is None:
        return Fraction(0)
    if not same_dimension(drag.unit, "N*m"):
        findings.error(
            step,
            f"The prevailing torque {drag} is not a torque; use N*m, lbf*ft or lbf*in.",
            "prevailing",
        )
        return None
    if drag.value < 0:
        findings.error(step, f"The prevailing torque {drag} is under zero.", "prevailing")
        return None
    if drag.to("N*m").value >= target_of(step).to("N*m").value:
        findings.warn(
            step,
            f"The prevailing torque {drag} is no less than the target {target_of(step)}; "
            "check that they are not swapped.",
            "prevailing",
        )
    return drag.to(tool.unit).value


def _adapter(findings: Findings, step: TighteningStep) -> Fraction | None:
    """The factor of the adapter, 1 without one; None when it is unsound."""
    if step.adapter is None:
        return Fraction(1)
    sound = True
    for key in ("length", "extension"):
        amount = getattr(step.adapter, key)
        if not same_dimension(amount.unit, "mm"):
            sound = False
            findings.error(
                step, f"The adapter's {key} {amount} is not a length; use mm or in.", "adapter", key
            )
        elif amount.value <= 0:
            sound = False
            findings.error(step, f"The adapter's {key} {amount} is not above zero.", "adapter", key)
    if not sound:
        return None
    try:
        found = adapter_of(step)
    except TighteningError as fault:
        findings.error(step, in_english(fault.problem), "adapter")
        return None
    if step.adapter.extension.to("mm").value > step.adapter.length.to("mm").value:
        findings.warn(
            step,
            "The adapter is longer than the wrench; check that 'length' and 'extension' are not "
            "swapped.",
            *("adapter", "extension"),
        )
    assert found is not None
    return found.factor


def _check_range(
    findings: Findings, step: TighteningStep, tool: Gauge, drag: Fraction, factor: Fraction
) -> None:
    """A wrench is trusted from a fifth of its range up: common practice, no source.

    ISO 6789:2003 tested it from there; by ISO 6789-1:2017, 5.1.3, the range begins at its lowest
    mark.
    """
    if tool.upper is None:
        findings.warn(step, f"The tool '{tool.id}' states no range; give 'upper'.", "tool")
        return
    upper = tool.upper.to(tool.unit).value
    lower = tool.lower.to(tool.unit).value if tool.lower is not None else Fraction(0)
    settings = [
        (index, (torque.to(tool.unit).value + drag) * factor)
        for index, stage in enumerate(stages_of(step))
        if (torque := stage.wrench_torque) is not None
    ]
    highest = max(setting for _, setting in settings)
    if highest > upper:
        findings.error(
            step,
            f"The target {target_of(step)}{_set_as(step, tool, highest)} is over the range of "
            f"tool '{tool.id}' ({tool.upper}).",
            "stages" if step.stages else "target",
        )
        return
    for index, setting in settings:
        name = f"stage {index + 1}" if step.stages else f"pass {step.passes[index]}"
        if setting < lower:
            findings.error(
                step,
                f"The {name} is under the range of tool '{tool.id}' ({tool.lower}).",
                _torques(step),
            )
        elif setting * 5 < upper:
            findings.warn(
                step,
                f"The {name} lies in the lowest fifth of tool '{tool.id}', where a torque tool "
                "is not to be trusted; use a smaller one.",
                _torques(step),
            )


def _set_as(step: TighteningStep, tool: Gauge, setting: Fraction) -> str:
    """`` (set as 21.5 N*m)`` where the setting is not the target."""
    if step.adapter is None and step.prevailing is None:
        return ""
    return f" (set as {float(setting):.4g} {tool.unit})"


def _check_mark(
    findings: Findings, step: TighteningStep, tool: Gauge, wanted: Fraction, factor: Fraction
) -> None:
    """What is set on the wrench is rounded to a graduation and must stay in tolerance."""
    graduation = tool.resolution.to(tool.unit).value
    if graduation <= 0:
        return
    mark = max(nearest_mark(wanted, graduation), graduation)
    off = abs(mark - wanted)
    tolerance = tolerance_of(step)
    if off > tolerance.to(tool.unit).value * factor:
        own = "its tolerance" if step.tolerance else "the tolerance taken where none is given,"
        findings.error(
            step,
            f"The nearest mark of tool '{tool.id}' misses the target {target_of(step)} by more "
            f"than {own} {tolerance}; use a finer tool.",
            "stages" if step.stages else "target",
        )
    elif step.tolerance is None and off:
        findings.warn(
            step,
            f"The target {target_of(step)} is not a mark of tool '{tool.id}'.",
            "stages" if step.stages else "target",
        )


def _check_error(findings: Findings, step: TighteningStep, tool: Gauge) -> None:
    """What the wrench alone may be off by must leave something of the tolerance."""
    if step.tolerance is None or tool.upper is None:
        return
    if tool.uncertainty is not None and same_dimension(tool.uncertainty.unit, "N*m"):
        off, why = tool.uncertainty, "its stated uncertainty"
    else:
        target, share = target_of(step), wrench_error(tool.upper)
        off, why = Amount(target.value * share, target.unit), f"{percent(share)}, ISO 6789-1"
    if off.to("N*m").value > step.tolerance.to("N*m").value:
        findings.warn(
            step,
            f"The tool '{tool.id}' alone may be off by {float(off.value):.3g} {off.unit} ({why}), "
            f"more than the tolerance {step.tolerance}; check the tolerance with the manual, or "
            "state the tool's uncertainty from its certificate.",
            "tolerance",
        )
