"""Reads a procedure for its meaning: what is well formed and still wrong or unwise."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from assistant.procedure.checks.adjusting import check_adjusting
from assistant.procedure.checks.conditions import check_conditions
from assistant.procedure.checks.guarded import check_guarded
from assistant.procedure.checks.judged import check_judged
from assistant.procedure.checks.limits import check_limits
from assistant.procedure.checks.order import check_order
from assistant.procedure.checks.references import check_references
from assistant.procedure.checks.safety import check_safety
from assistant.procedure.checks.spoken import check_spoken
from assistant.procedure.checks.told_figures import check_told_figures
from assistant.procedure.finding import Finding, Findings
from assistant.procedure.kinds import kind_of
from assistant.procedure.loader import load_with_lines
from assistant.procedure.models import Procedure
from assistant.procedure.yaml_source import Source

__all__ = ["Finding", "lint", "lint_file"]

_CHECKS = (
    check_references,
    check_order,
    check_conditions,
    check_limits,
    check_judged,
    check_guarded,
    check_adjusting,
    check_told_figures,
    check_spoken,
    check_safety,
)


def lint(procedure: Procedure, source: Source | None = None) -> list[Finding]:
    """Every finding on ``procedure``, in the order of its steps; errors first within a step.

    ``source``, from :func:`assistant.procedure.loader.load_with_lines`, gives findings a line.
    """
    findings = Findings(procedure)
    for check in _CHECKS:
        check(findings)
    for step in procedure.steps:
        kind_of(step).check(findings, step)
    found = findings.found
    if source is not None:
        found = [replace(f, line=source.line(f.loc)) for f in found]
    places = {s.id: i for i, s in enumerate(procedure.steps)}
    return sorted(set(found), key=lambda f: (places.get(f.step, -1), f.level, f.line, f.message))


def lint_file(path: Path | str) -> list[Finding]:
    """Load ``path`` and lint it; every finding has its line.

    Raises:
        ProcedureFaults: the file cannot be loaded.
    """
    loaded = load_with_lines(path)
    return lint(loaded.procedure, loaded.source)
