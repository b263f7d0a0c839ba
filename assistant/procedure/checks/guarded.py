"""Guarded limits of computed values: every gauge that goes into one states its uncertainty."""

from __future__ import annotations

from assistant.procedure.finding import Findings
from assistant.procedure.kinds import kind_of
from assistant.procedure.listed import Gauge
from assistant.procedure.step import LimitedStep, Step


def check_guarded(findings: Findings) -> None:
    """Check every guarded value that is computed from others; a reading has its own check."""
    for step in findings.procedure.steps:
        if not isinstance(step, LimitedStep) or step.rule != "guarded" or step.heard:
            continue
        bare = sorted(g.id for g in _gauges_behind(findings, step, set()) if g.uncertainty is None)
        if bare:
            findings.error(
                step,
                f"The rule is 'guarded', but {', '.join(bare)} states no uncertainty, so the value "
                "has none; state it (expanded, k = 2).",
                "rule",
            )


def _gauges_behind(findings: Findings, step: Step | None, seen: set[str]) -> list[Gauge]:
    """Those of the value itself, then those of every value that it is computed from."""
    if step is None or step.id in seen:
        return []
    seen.add(step.id)
    known = {s.id: s for s in findings.procedure.steps}
    own = kind_of(step).gauges_in_value(step)
    behind = [g for g in findings.procedure.gauges if g.id in own]
    for source in kind_of(step).inputs(step):
        behind += _gauges_behind(findings, known.get(source), seen)
    return behind
