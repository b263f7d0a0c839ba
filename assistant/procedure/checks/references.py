"""Names that a step uses must stand in the procedure, and what is listed should be used."""

from __future__ import annotations

from assistant.procedure.finding import Findings, suggestion
from assistant.procedure.kinds import kind_of
from assistant.procedure.kinds.kind import ListName


def check_references(findings: Findings) -> None:
    """Unknown and unused gauges, consumables and parts; marked parts."""
    procedure = findings.procedure
    lists: dict[ListName, list[str]] = {
        "gauges": [g.id for g in procedure.gauges],
        "consumables": [c.id for c in procedure.consumables],
        "parts": [p.id for p in procedure.parts],
    }
    used: dict[ListName, set[str]] = {name: set() for name in lists}
    for step in procedure.steps:
        for section, key, name in kind_of(step).uses(step):
            used[section].add(name)
            if name not in lists[section]:
                hint = suggestion(name, lists[section], section)
                findings.error(step, f"'{name}' is not among the {section}; {hint}", key)
    for section, known in lists.items():
        for index, name in enumerate(known):
            if name not in used[section] and not _implied(findings, section, name):
                findings.warn(
                    None, f"'{name}' is listed in {section} and no step uses it.", section, index
                )
    _check_marked(findings)


def _implied(findings: Findings, section: str, name: str) -> bool:
    """Whether a step needs a gauge of this kind without naming it."""
    if section != "gauges":
        return False
    kind = findings.procedure.gauge(name).kind
    return any(kind in kind_of(s).needs_gauges(s) for s in findings.procedure.steps)


def _check_marked(findings: Findings) -> None:
    steps = findings.procedure.steps
    identified = {kind_of(s).records_number_of(s) for s in steps}
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
