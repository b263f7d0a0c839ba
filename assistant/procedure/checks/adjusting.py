"""Adjusting: what the procedure says of it is possible; the steps that it names come earlier."""

from __future__ import annotations

from assistant.procedure.adjusting import AdjustableStep, Side
from assistant.procedure.finding import Findings, suggestion
from assistant.quantities.amount import Amount


def check_adjusting(findings: Findings) -> None:
    """Check every value that may be adjusted, or that another step made."""
    for step in findings.procedure.steps:
        if isinstance(step, AdjustableStep):
            _check(findings, step)


def _check(findings: Findings, step: AdjustableStep) -> None:
    for key, remedy in step.remedies().items():
        if remedy.back_to is not None:
            _check_earlier(findings, step, remedy.back_to, key, "back_to")
    if step.made_by is not None:
        _check_earlier(findings, step, step.made_by, "made_by")
    if not step.adjustable:
        for key in ("until", "tries", "measure_again"):
            # by its value: the procedure of a stored session gives every key
            if getattr(step, key) != AdjustableStep.model_fields[key].default:
                findings.error(
                    step, f"'{key}' is given, but not what to adjust; give 'adjust'.", key
                )
        return
    if step.limits.none:
        findings.error(
            step,
            "There is no limit to adjust to; give 'lower' or 'upper'.",
            next(iter(step.remedies())),
        )
        return
    for key, limit in (("on_high", step.upper), ("on_low", step.lower)):
        if key in step.remedies() and limit is None:
            findings.warn(step, f"There is no limit on that side, so '{key}' is never said.", key)
    ends: tuple[tuple[str, Amount | None, Side], ...] = (
        ("on_high", step.lower, "low"),
        ("on_low", step.upper, "high"),
    )
    for key, limit, other in ends:
        if key in step.remedies() and limit is not None and step.remedy(other) is None:
            findings.warn(
                step,
                f"A value that is too {other} cannot be adjusted: give 'on_{other}', or 'adjust' "
                "for both.",
                key,
            )


def _check_earlier(findings: Findings, step: AdjustableStep, name: str, *where: str) -> None:
    steps = findings.procedure.steps
    places = {s.id: i for i, s in enumerate(steps)}
    if name not in places:
        known = [s.id for s in steps[: steps.index(step)]]
        findings.error(
            step,
            f"'{name}' in '{where[0]}' is not a step; {suggestion(name, known, 'steps')}",
            *where,
        )
    elif places[name] >= places[step.id]:
        findings.error(step, f"'{name}' in '{where[0]}' comes no earlier than this step.", *where)
