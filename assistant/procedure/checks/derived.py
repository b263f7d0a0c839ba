"""Derived values: their inputs, their formula and what it yields."""

from __future__ import annotations

from fractions import Fraction
from typing import assert_never

from assistant.procedure.finding import Findings, suggestion
from assistant.procedure.models import (
    ActionStep,
    AnyStep,
    CautionStep,
    ChoiceStep,
    DerivedStep,
    Gauge,
    IdentificationStep,
    InspectionStep,
    LimitedStep,
    MeasurementStep,
    ShimStep,
    TighteningStep,
    WaitStep,
)
from assistant.quantities.amount import Amount
from assistant.quantities.combining import unit_of
from assistant.quantities.formula import FormulaError, evaluate, names_in

# Odd sizes without small differences in common: a trial never divides by zero by chance.
_TRIAL = (Fraction(1733, 100), Fraction(911, 100), Fraction(2957, 100), Fraction(431, 100))


def check_derived(findings: Findings) -> None:
    """Check every derived step."""
    for step in findings.procedure.steps:
        if isinstance(step, DerivedStep):
            _check_inputs(findings, step)
            _check_formula(findings, step)
            _check_quarters(findings, step)
            check_guarded(findings, step)


def check_guarded(findings: Findings, step: DerivedStep | ShimStep) -> None:
    """A guarded value needs the uncertainty of every gauge that goes into it."""
    if step.rule != "guarded":
        return
    bare = sorted(g.id for g in _gauges_behind(findings, step, set()) if g.uncertainty is None)
    if bare:
        findings.error(
            step,
            f"The rule is 'guarded', but {', '.join(bare)} states no uncertainty, so the value has "
            "none; state it (expanded, k = 2).",
            "rule",
        )


def _gauges_behind(findings: Findings, step: AnyStep | None, seen: set[str]) -> list[Gauge]:
    if step is None or step.id in seen:
        return []
    seen.add(step.id)
    known = {s.id: s for s in findings.procedure.steps}
    match step:
        case MeasurementStep(gauge=gauge):
            return [g for g in findings.procedure.gauges if g.id == gauge]
        case DerivedStep(inputs=inputs):
            behind = [_gauges_behind(findings, known.get(s), seen) for s in inputs.values()]
            return [gauge for some in behind for gauge in some]
        case ShimStep(gap=gap, stock=stock):
            box = [g for g in findings.procedure.gauges if g.id == stock]
            return box + _gauges_behind(findings, known.get(gap), seen)
        case (
            CautionStep() | ActionStep() | TighteningStep() | IdentificationStep()
            | ChoiceStep() | WaitStep() | InspectionStep()
        ):  # fmt: skip
            return []  # told with the inputs
        case _:
            assert_never(step)


def _check_quarters(findings: Findings, step: DerivedStep) -> None:
    if step.combine != "quarter_turns":
        return
    known = {s.id: s for s in findings.procedure.steps}
    for name, source in step.inputs.items():
        other = known.get(source)
        if other is not None and not (
            isinstance(other, MeasurementStep) and len(other.positions) == 4
        ):
            findings.error(
                step,
                f"'quarter_turns' takes a measurement at four positions, a quarter turn apart in "
                f"the order of the turn; '{source}' is none.",
                *("inputs", name),
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


def _places(source: LimitedStep) -> bool:
    """Whether 'combine' has readings to work on: a computed value is taken as it is."""
    return isinstance(source, MeasurementStep)


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
        unit = unit_of(source.unit, step.combine) if _places(source) else source.unit
        trial[name] = Amount(value, unit)
    try:
        evaluate(step.formula, trial, step.unit)
    except FormulaError as fault:
        findings.error(step, str(fault), "formula")
