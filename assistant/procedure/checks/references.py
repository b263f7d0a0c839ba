"""Names that a step uses must stand in the procedure, and what is listed should be used."""

from __future__ import annotations

import re
from collections.abc import Iterable

from assistant.procedure.finding import Findings, suggestion
from assistant.procedure.form import form_fault
from assistant.procedure.models import (
    ActionStep,
    IdentificationStep,
    MeasurementStep,
    ShimStep,
    TighteningStep,
)


def check_references(findings: Findings) -> None:
    """Unknown and unused gauges, consumables and parts; marked parts; forms of numbers."""
    procedure = findings.procedure
    lists = {
        "gauges": [g.id for g in procedure.gauges],
        "consumables": [c.id for c in procedure.consumables],
        "parts": [p.id for p in procedure.parts],
    }
    used: dict[str, set[str]] = {name: set() for name in lists}
    for step in procedure.steps:
        for section, key, name in _uses(step):
            used[section].add(name)
            if name not in lists[section]:
                hint = suggestion(name, lists[section], section)
                findings.error(step, f"'{name}' is not among the {section}; {hint}", key)
        if isinstance(step, IdentificationStep):
            _check_form(findings, step)
    for section, known in lists.items():
        for index, name in enumerate(known):
            if name not in used[section] and not _implied(findings, section, name):
                findings.warn(
                    None, f"'{name}' is listed in {section} and no step uses it.", section, index
                )
    _check_marked(findings)


def _uses(step: object) -> Iterable[tuple[str, str, str]]:
    """(section, key of the step, id) of everything that ``step`` names."""
    if isinstance(step, MeasurementStep):
        yield "gauges", "gauge", step.gauge
    if isinstance(step, ShimStep):
        yield "gauges", "stock", step.stock
    if isinstance(step, TighteningStep):
        yield "gauges", "tool", step.tool
        if step.lubricant is not None:
            yield "consumables", "lubricant", step.lubricant
    if isinstance(step, IdentificationStep):
        yield "parts", "part", step.part
    if isinstance(step, ActionStep):
        for name in step.materials:
            yield "consumables", "materials", name
        for name in step.parts:
            yield "parts", "parts", name


def _implied(findings: Findings, section: str, name: str) -> bool:
    """An angle gauge has no step of its own: it serves the tightenings that turn by angle."""
    if section != "gauges" or findings.procedure.gauge(name).kind != "angle_gauge":
        return False
    tightenings = [s for s in findings.procedure.steps if isinstance(s, TighteningStep)]
    return any(s.angle is not None for s in tightenings)


def _check_form(findings: Findings, step: IdentificationStep) -> None:
    if not step.form:
        findings.warn(
            step,
            "The number has no 'form', so that any spelling is taken; "
            "write one, such as '^KB[0-9]{3}$'.",
        )
        return
    fault = form_fault(step.form)
    if fault:
        findings.error(
            step,
            f"The form '{step.form}' is no regular expression of RE2 ({fault}); "
            "write one such as '^KB[0-9]{3}$'.",
            "form",
        )
        return
    if re.search(r"[a-z]", re.sub(r"\\[pP]\{\w*\}|\\.", "", step.form)):
        findings.error(
            step,
            "The form has small letters, but a spelled number is kept in capitals and would "
            "never match; write capitals.",
            "form",
        )


def _check_marked(findings: Findings) -> None:
    steps = findings.procedure.steps
    identified = {s.part for s in steps if isinstance(s, IdentificationStep)}
    for index, part in enumerate(findings.procedure.parts):
        if part.marked and part.id not in identified:
            findings.error(
                None,
                f"The part '{part.id}' is marked, but no identification step records its "
                "number; add one.",
                "parts",
                index,
            )
        elif part.id in identified and not part.marked:
            findings.warn(
                None,
                f"A step records a number of the part '{part.id}'; say 'marked: true' of it.",
                "parts",
                index,
            )
