"""Derived values: their inputs, their formula and what it yields."""

from __future__ import annotations

from fractions import Fraction

from assistant.procedure.finding import Findings, suggestion
from assistant.procedure.models import AnyStep, DerivedStep, LimitedStep
from assistant.quantities.amount import Amount
from assistant.quantities.formula import FormulaError, evaluate, names_in

# Odd sizes without small differences in common: a trial never divides by zero by chance.
_TRIAL = (Fraction(1733, 100), Fraction(911, 100), Fraction(2957, 100), Fraction(431, 100))


def check_derived(findings: Findings) -> None:
    """Check every derived step."""
    for step in findings.procedure.steps:
        if isinstance(step, DerivedStep):
            _check_inputs(findings, step)
            _check_formula(findings, step)
            if step.rule == "guarded":
                findings.warn(
                    step, "A derived value states no uncertainty, so it is not guarded.", "rule"
                )


def _check_inputs(findings: Findings, step: DerivedStep) -> None:
    steps = findings.procedure.steps
    known = {s.id: s for s in steps}
    for name, source in step.inputs.items():
        where = ("inputs", name)
        other = known.get(source)
        if other is None:
            measured = [s.id for s in steps if isinstance(s, LimitedStep)]
            hint = suggestion(source, measured, "measurements")
            findings.error(step, f"The input '{source}' is no step; {hint}", *where)
        elif not isinstance(other, LimitedStep):
            findings.error(
                step,
                f"The input '{source}' is a step of kind {other.kind} without a value.",
                *where,
            )
        elif steps.index(other) >= steps.index(step):
            findings.error(step, f"The input '{source}' comes no earlier than this step.", *where)
        elif other.when is not None and other.when != step.when:
            findings.warn(
                step,
                f"The input '{source}' may be left out; give this step the same condition.",
                *where,
            )


def _check_formula(findings: Findings, step: DerivedStep) -> None:
    try:
        used = names_in(step.formula)
    except FormulaError as fault:
        findings.error(step, str(fault), "formula")
        return
    unbound = sorted(used - set(step.inputs))
    for name in unbound:
        hint = suggestion(name, list(step.inputs), "inputs")
        findings.error(step, f"'{name}' in the formula is not bound; {hint}", "formula")
    for name in step.inputs:
        if name not in used:
            findings.warn(step, f"The input '{name}' is not used in the formula.", "inputs", name)
    known: dict[str, AnyStep] = {s.id: s for s in findings.procedure.steps}
    sources = {name: known.get(source) for name, source in step.inputs.items()}
    if unbound:
        return
    trial: dict[str, Amount] = {}
    for index, (name, source) in enumerate(sources.items()):
        if not isinstance(source, LimitedStep):
            return
        value = _TRIAL[index % len(_TRIAL)] + index
        trial[name] = Amount(value, source.unit)
    try:
        evaluate(step.formula, trial, step.unit)
    except FormulaError as fault:
        findings.error(step, str(fault), "formula")
