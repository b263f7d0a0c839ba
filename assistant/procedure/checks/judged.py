"""Every value is judged: by limits of its own, or by those of a value that is computed from it."""

from __future__ import annotations

from assistant.procedure.checks.limits import check_has_limit
from assistant.procedure.finding import Findings
from assistant.procedure.kinds import kind_of
from assistant.procedure.outline import Outline
from assistant.procedure.places import reference
from assistant.procedure.step import LimitedStep


def check_judged(findings: Findings) -> None:
    """A value that nothing judges: the manual may give a limit that was left out."""
    judged = _judged(findings.procedure)
    for step in findings.procedure.steps:
        if isinstance(step, LimitedStep) and step.id not in judged and not step.misfits():
            check_has_limit(findings, step)


def _judged(procedure: Outline) -> set[str]:
    """The steps whose values go, at once or by other values, into one that has limits."""
    judged: set[str] = set()
    for step in reversed(procedure.steps):
        if isinstance(step, LimitedStep) and (step.id in judged or not step.limits.none):
            judged |= set(kind_of(step).inputs(step))
            around = getattr(step, "around", None)
            if around is not None:
                judged.add(reference(around)[0])
    return judged
