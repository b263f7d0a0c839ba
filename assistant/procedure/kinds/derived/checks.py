"""A derived value: its inputs, its formula and what it yields."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from assistant.language.english import in_english
from assistant.procedure.finding import Findings, suggestion
from assistant.procedure.kinds.derived.model import DerivedStep
from assistant.procedure.step import LimitedStep, Step
from assistant.quantities.amount import Amount
from assistant.quantities.combining import unit_of
from assistant.quantities.formula import FormulaError, evaluate, names_in

# Odd sizes without small differences in common: a trial never divides by zero by chance.
_TRIAL = (Fraction(1733, 100), Fraction(911, 100), Fraction(2957, 100), Fraction(431, 100))


def check_derived(findings: Findings, step: DerivedStep) -> None:
    """Inputs come earlier and have a value; the formula yields the step's unit."""
    _check_inputs(findings, step)
    _check_formula(findings, step)
    _check_quarters(findings, step)


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


def _check_quarters(findings: Findings, step: DerivedStep) -> None:
    if step.combine != "quarter_turns":
        return
    known = {s.id: s for s in findings.procedure.steps}
    for name, source in step.inputs.items():
        other = known.get(source)
        if other is not None and not (isinstance(other, LimitedStep) and len(other.places) == 4):
            findings.error(
                step,
                f"'quarter_turns' takes a measurement at four positions, a quarter turn apart in "
                f"the order of the turn; '{source}' is none.",
                *("inputs", name),
            )


def _check_formula(findings: Findings, step: DerivedStep) -> None:
    try:
        used = names_in(step.formula)
    except FormulaError as fault:
        findings.error(step, in_english(fault.told), "formula")
        return
    unbound = sorted(used - set(step.inputs))
    for name in unbound:
        hint = suggestion(name, list(step.inputs), "inputs")
        findings.error(step, f"'{name}' in the formula is not bound; {hint}", "formula")
    for name in step.inputs:
        if name not in used:
            findings.warn(step, f"The input '{name}' is not used in the formula.", "inputs", name)
    if unbound:
        return
    trial = _trial(step, findings.procedure.steps)
    if trial is None:
        return
    try:
        evaluate(step.formula, trial, step.unit)
    except FormulaError as fault:
        findings.error(step, in_english(fault.told), "formula")


def _trial(step: DerivedStep, steps: Sequence[Step]) -> dict[str, Amount] | None:
    """A size for every input, to try the formula with; None when one has no value."""
    known = {s.id: s for s in steps}
    trial: dict[str, Amount] = {}
    for index, (name, source) in enumerate(step.inputs.items()):
        other = known.get(source)
        if not isinstance(other, LimitedStep):
            return None
        # 'combine' works on readings; a computed value is taken as it is
        unit = unit_of(other.unit, step.combine) if other.heard else other.unit
        trial[name] = Amount(_TRIAL[index % len(_TRIAL)] + index, unit)
    return trial
