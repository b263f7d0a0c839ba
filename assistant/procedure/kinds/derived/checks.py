"""A derived value: its inputs, its formula and what it yields."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from assistant.language.english import in_english
from assistant.procedure.finding import Findings, suggestion
from assistant.procedure.kinds.derived.model import DerivedStep
from assistant.procedure.places import POSITION, chosen, picked, reference, spots
from assistant.procedure.step import LimitedStep, Step
from assistant.quantities.amount import Amount
from assistant.quantities.combining import unit_of
from assistant.quantities.formula import FormulaError, evaluate, names_in

# Odd sizes without small differences in common: a trial never divides by zero by chance.
_TRIAL = (Fraction(1733, 100), Fraction(911, 100), Fraction(2957, 100), Fraction(431, 100))


def check_derived(findings: Findings, step: DerivedStep) -> None:
    """Inputs come earlier and have a value; the formula yields the step's unit."""
    _check_inputs(findings, step)
    _check_places(findings, step)
    _check_formula(findings, step)
    _check_quarters(findings, step)


def _check_inputs(findings: Findings, step: DerivedStep) -> None:
    steps = findings.procedure.steps
    known = {s.id: s for s in steps}
    for name, source in step.inputs.items():
        where = ("inputs", name)
        source, picks = reference(source)
        other = known.get(source)
        if other is None:
            measured = [s.id for s in steps if isinstance(s, LimitedStep)]
            hint = suggestion(source, measured, "measurements")
            findings.error(step, f"The input '{source}' is not a step; {hint}", *where)
        elif other.source(picks) is None and (offers := other.offers(findings.procedure)):
            hint = suggestion(".".join((source, *picks)), list(offers), "values")
            findings.error(step, f"'{source}' has no single value of that name; {hint}", *where)
        elif other.source(picks) is None:
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


def _sources(
    step: DerivedStep, steps: Sequence[Step]
) -> Iterator[tuple[str, LimitedStep, tuple[str, ...]]]:
    """(name, the step that it comes from, names that pick places) of every sound input."""
    earlier = {s.id: s for s in steps[: steps.index(step)]}
    for name, source in step.inputs.items():
        where, picks = reference(source)
        found = earlier[where].source(picks) if where in earlier else None
        if found is not None:
            yield name, *found


def _check_places(findings: Findings, step: DerivedStep) -> None:
    """Picked places exist; what goes along ``each`` has the same places in every input."""
    procedure = findings.procedure
    for name, other, picks in _sources(step, procedure.steps):
        try:
            picked(other.axes(procedure), picks)
        except LookupError as fault:
            known = [place for axis in other.axes(procedure) for place in axis.places]
            hint = suggestion(str(fault.args[0]), known, f"places for '{other.id}'")
            findings.error(
                step, f"'{fault.args[0]}' is not a place of '{other.id}'; {hint}", "inputs", name
            )
    axes = {axis.name: axis for axis in step.axes(procedure)}
    if step.each and not axes:
        what = "places" if step.each == POSITION else f"'{step.each}'"
        findings.error(
            step, f"No input has {what} to go along; take 'each' out, or name it.", "each"
        )
    for axis in step.free_axes(procedure):
        if axis.name in axes and set(axis.places) != set(axes[axis.name].places):
            findings.error(
                step,
                "The inputs are measured at different places, so there is no value for each; "
                "give them the same ones.",
                "each",
            )
            break
    if step.each is None and not step.limits.none and "combine" not in step.model_fields_set:
        _warn_of_mean(findings, step)


def _warn_of_mean(findings: Findings, step: DerivedStep) -> None:
    """A mean of places that is judged: one place out of limits may pass by the others."""
    several = [name for name, count in _counts(findings, step).items() if count > 1]
    if several:
        findings.warn(
            step,
            f"The mean of several places of '{several[0]}' is judged, so one place out of limits "
            "may pass; write 'each: position', or say 'combine: mean' if that is meant.",
            "inputs",
        )


def _counts(findings: Findings, step: DerivedStep) -> dict[str, int]:
    """How many places of every sound input are combined into one value."""
    procedure, found = findings.procedure, dict[str, int]()
    at = next(iter(spots(step.axes(procedure))), {})
    for name, other, picks in _sources(step, procedure.steps):
        try:
            found[name] = len(chosen(other.axes(procedure), picks, at))
        except LookupError:
            continue  # reported already
    return found


def _check_quarters(findings: Findings, step: DerivedStep) -> None:
    counts = _counts(findings, step)
    if step.combine == "stops":
        for name, other, _ in _sources(step, findings.procedure.steps):
            if counts.get(name, 4) < 4:
                findings.error(
                    step,
                    f"'stops' takes a measurement at four places or more, equally spaced round the "
                    f"turn; '{other.id}' is none.",
                    *("inputs", name),
                )
    if step.combine != "quarter_turns":
        return
    for name, other, _ in _sources(step, findings.procedure.steps):
        if counts.get(name, 4) != 4:
            findings.error(
                step,
                f"'quarter_turns' takes a measurement at four positions, a quarter turn apart in "
                f"the order of the turn; '{other.id}' is none.",
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
    trial = _trial(findings, step)
    if trial is None:
        return
    try:
        evaluate(step.formula, trial, step.unit)
    except FormulaError as fault:
        findings.error(step, in_english(fault.told), "formula")


def _trial(findings: Findings, step: DerivedStep) -> dict[str, Amount] | None:
    """A size for every input, to try the formula with; None when one has no value."""
    known = {s.id: s for s in findings.procedure.steps}
    counts = _counts(findings, step)
    trial: dict[str, Amount] = {}
    for index, (name, source) in enumerate(step.inputs.items()):
        where, picks = reference(source)
        found = known[where].source(picks) if where in known else None
        if found is None:
            return None
        other = found[0]
        # one value is taken as it is
        unit = unit_of(other.unit, step.combine) if counts.get(name, 2) > 1 else other.unit
        trial[name] = Amount(_TRIAL[index % len(_TRIAL)] + index, unit)
    return trial
