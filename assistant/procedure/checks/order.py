"""Prerequisites, waits and the order of steps: nothing may block the job for good."""

from __future__ import annotations

from graphlib import CycleError, TopologicalSorter

from assistant.procedure.finding import Findings, suggestion
from assistant.procedure.kinds import kind_of
from assistant.procedure.step import Step


def check_order(findings: Findings) -> None:
    """Unknown, later and circular prerequisites; what may go on during a wait."""
    places = {s.id: i for i, s in enumerate(findings.procedure.steps)}
    _check_cycles(findings)
    for place, step in enumerate(findings.procedure.steps):
        for index, name in enumerate(step.after):
            where = ("after", index)
            if name == step.id:
                findings.error(step, "The step names itself as its prerequisite.", *where)
            elif name not in places:
                hint = suggestion(name, list(places), "steps")
                findings.error(step, f"The prerequisite '{name}' is not a step; {hint}", *where)
            elif places[name] > place:
                findings.error(
                    step,
                    f"The prerequisite '{name}' comes later, so this step would never open; "
                    "move one of them.",
                    *where,
                )
        _check_meanwhile(findings, step, places)


def _check_cycles(findings: Findings) -> None:
    graph = {s.id: [a for a in s.after if a != s.id] for s in findings.procedure.steps}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as fault:
        ring: list[str] = fault.args[1]
        steps = {s.id: s for s in findings.procedure.steps}
        first = next((steps[n] for n in ring if n in steps), None)
        findings.error(
            first, f"These steps wait for each other: {' -> '.join(ring)}; break the ring.", "after"
        )


def _check_meanwhile(findings: Findings, step: Step, places: dict[str, int]) -> None:
    for index, name in enumerate(kind_of(step).meanwhile(step)):
        where = ("meanwhile", index)
        if name not in places:
            hint = suggestion(name, list(places), "steps")
            findings.error(step, f"'{name}' in 'meanwhile' is not a step; {hint}", *where)
        elif places[name] <= places[step.id]:
            findings.error(
                step, f"'{name}' in 'meanwhile' does not come after the wait; move it.", *where
            )
        else:
            _check_may_go_on(findings, step, findings.procedure.steps[places[name]], where)


def _check_may_go_on(findings: Findings, wait: Step, step: Step, where: tuple[str, int]) -> None:
    steps = findings.procedure.steps
    meanwhile = kind_of(wait).meanwhile(wait)
    between = steps[steps.index(wait) + 1 : steps.index(step)]
    if wait.id in step.after:
        findings.error(
            wait,
            f"'{step.id}' may go on meanwhile, yet it names this wait as its prerequisite.",
            *where,
        )
    for other in between:
        if other.id in meanwhile:
            continue
        if other.id in step.after:
            findings.warn(
                wait,
                f"'{step.id}' cannot go on meanwhile, because it comes after '{other.id}', which "
                "is not in 'meanwhile'.",
                *where,
            )
        elif kind_of(other).is_caution:
            findings.warn(
                wait,
                f"'{step.id}' cannot go on meanwhile, because the caution '{other.id}' stands "
                "before it; add the caution to 'meanwhile'.",
                *where,
            )
