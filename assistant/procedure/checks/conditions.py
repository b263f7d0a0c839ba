"""Conditions: what they name must exist and come earlier, and they must be able to hold."""

from __future__ import annotations

from assistant.procedure.comparing import limit_of
from assistant.procedure.finding import Findings, suggestion
from assistant.procedure.kinds import kind_of
from assistant.procedure.places import chosen, reference
from assistant.procedure.step import Condition, LimitedStep, Step
from assistant.quantities.units import same_dimension


def check_conditions(findings: Findings) -> None:
    """Unknown names in conditions, and steps that no answers can ever reach."""
    applicability = findings.procedure.applicability
    for step in findings.procedure.steps:
        if step.when is None:
            continue
        for index, variant in enumerate(step.when.variant):
            if variant not in applicability.variants:
                hint = suggestion(variant, list(applicability.variants), "variants")
                findings.error(
                    step, f"'{variant}' is not a variant; {hint}", "when", "variant", index
                )
        if step.when.parts is not None and step.when.parts not in applicability.parts:
            findings.error(
                step,
                f"The procedure does not cover {step.when.parts} parts, so this step can never "
                "be reached.",
                "when",
                "parts",
            )
        _check_asked(findings, step, step.when)
        _check_compared(findings, step, step.when)
        clash = _clash(findings, step.when)
        if clash:
            findings.error(step, f"The step can never be reached: {clash}.", "when")


def _check_asked(findings: Findings, step: Step, condition: Condition) -> None:
    for key, asked in (("choice", condition.choice), ("reading", condition.reading)):
        for name, answer in asked.items():
            other = _find(findings, name)
            where = ("when", key, name)
            if other is None:
                known = [s.id for s in findings.procedure.steps]
                hint = suggestion(name, known, "steps")
                findings.error(step, f"'{name}' in its condition is not a step; {hint}", *where)
                continue
            steps = findings.procedure.steps
            if steps.index(other) >= steps.index(step):
                findings.error(
                    step, f"Its condition hangs on '{name}', which comes no earlier.", *where
                )
            options = kind_of(other).options(other)
            if key == "choice" and options is None:
                findings.error(
                    step,
                    f"'{name}' is a step of kind {other.kind}, not a choice; name a choice step.",
                    *where,
                )
            elif key == "choice" and options is not None:
                if answer not in options:
                    hint = suggestion(answer, list(options), "options")
                    findings.error(step, f"'{answer}' is not an option of '{name}'; {hint}", *where)
            elif not (isinstance(other, LimitedStep) and other.heard):
                findings.error(
                    step,
                    f"'{name}' is a step of kind {other.kind}, not a measurement; only a "
                    "reading is in or out.",
                    *where,
                )
            elif other.lower is None and other.upper is None and answer == "out":
                findings.error(
                    step, f"The reading of '{name}' has no limit, so it is never out.", *where
                )


def _check_compared(findings: Findings, step: Step, condition: Condition) -> None:
    steps = findings.procedure.steps
    for name, wanted in condition.value.items():
        where = ("when", "value", name)
        step_id, picks = reference(name)
        other = _find(findings, step_id)
        found = None if other is None else other.source(picks)
        if other is None or found is None:
            offers = () if other is None else other.offers(findings.procedure)
            known = list(offers) or [s.id for s in steps if isinstance(s, LimitedStep)]
            hint = suggestion(name, known, "values" if offers else "measurements")
            findings.error(step, f"'{name}' in its condition has no value; {hint}", *where)
            continue
        count = _count(findings, *found)
        if steps.index(other) >= steps.index(step):
            findings.error(
                step, f"Its condition hangs on '{name}', which comes no earlier.", *where
            )
        elif count == 0:
            findings.error(step, f"'{name}' in its condition is no place of '{step_id}'.", *where)
        elif count > 1:
            findings.error(
                step, f"'{name}' has several values; compute the one that is meant.", *where
            )
        elif not same_dimension(found[0].unit, limit_of(wanted).unit):
            findings.error(step, f"'{wanted}' is not in {found[0].unit} like '{name}'.", *where)


def _count(findings: Findings, step: LimitedStep, picks: tuple[str, ...]) -> int:
    """How many values the picks leave; none where one is no place of the step."""
    try:
        return len(chosen(step.axes(findings.procedure), picks, {}))
    except LookupError:
        return 0


def _find(findings: Findings, name: str) -> Step | None:
    return next((s for s in findings.procedure.steps if s.id == name), None)


def _clash(findings: Findings, condition: Condition) -> str:
    """Why ``condition``, with those of the steps whose answers it needs, cannot hold; or ''.

    A step that was left out gives no answer, so whatever it needed is needed here too.
    """
    variants: set[str] | None = None
    parts: set[str] = set()
    answers: dict[str, set[str]] = {}
    waiting, seen = [condition], set[str]()
    while waiting:
        part = waiting.pop()
        if part.variant:
            variants = set(part.variant) if variants is None else variants & set(part.variant)
        if part.parts is not None:
            parts.add(part.parts)
        for name, answer in [*part.choice.items(), *part.reading.items()]:
            answers.setdefault(name, set()).add(answer)
        for name in [*part.choice, *part.reading, *(reference(v).step for v in part.value)]:
            other = _find(findings, name)
            if name not in seen and other is not None and other.when is not None:
                waiting.append(other.when)
            seen.add(name)
    if variants is not None and not variants:
        return "its condition and those it hangs on ask for different variants"
    if len(parts) > 1:
        return "its condition and those it hangs on ask for new and for reused parts"
    for name, wanted in answers.items():
        if len(wanted) > 1:
            return f"'{name}' would have to be {' and '.join(sorted(wanted))} at once"
    return ""
