"""A measurement: its places sound different, and its gauge is fine enough for the limits."""

from __future__ import annotations

from assistant.procedure.checks.gauged import check_gauged
from assistant.procedure.finding import Findings, suggestion
from assistant.procedure.kinds.measurement.model import MeasurementStep
from assistant.procedure.places import chosen, reference
from assistant.procedure.step import LimitedStep
from assistant.quantities.amount import Amount
from assistant.quantities.propagation import suits
from assistant.quantities.trigonometry import cosine
from assistant.quantities.units import same_dimension

_MOST_LISTS = 3
_FLAT = 60  # degrees; a stem that leans further measures something else


def check_measurement(findings: Findings, step: MeasurementStep) -> None:
    """Its places sound different, the plausible band is closed, the gauge is fit for the limits."""
    _check_places(findings, step)
    if step.around is not None and not step.misfits():
        _check_around(findings, step, step.around)
    check_gauged(findings, step)
    if step.stem is not None:
        _check_stem(findings, step, step.stem)


def _check_stem(findings: Findings, step: MeasurementStep, stem: Amount) -> None:
    """Cosine error: a stem that leans by an angle shows the movement divided by its cosine."""
    if not same_dimension(stem.unit, "deg") or not 0 <= stem.to("deg").value < _FLAT:
        findings.error(step, f"'stem' {stem} is not an angle from 0 to 60 deg.", "stem")
        return
    if step.misfits() or step.limits.none:
        return
    known = [a.to(step.unit).value for a in (step.lower, step.upper) if a is not None]
    too_much = max(abs(a) for a in known) * (1 / cosine(stem.to("deg").value) - 1)
    for gauge in findings.procedure.gauges:
        if gauge.id != step.gauge or not suits(gauge.resolution.unit, step.unit):
            continue
        if too_much > gauge.resolution.difference_to(step.unit) / 2:
            percent = float(1 / cosine(stem.to("deg").value) - 1) * 100
            findings.warn(
                step,
                f"A stem that leans by {stem} shows {percent:.2g} % too much, which is more "
                f"than half a mark of '{gauge.id}' at the limit; stand it straight, or judge a "
                f"derived value of the reading times cos('{stem}').",
                "stem",
            )


def _check_around(findings: Findings, step: MeasurementStep, around: str) -> None:
    """The value that the limits are counted from comes earlier, is one, and of the same kind."""
    steps = findings.procedure.steps
    name, picks = reference(around)
    other = next((s for s in steps[: steps.index(step)] if s.id == name), None)
    if not isinstance(other, LimitedStep):
        known = [s.id for s in steps[: steps.index(step)] if isinstance(s, LimitedStep)]
        hint = suggestion(name, known, "measurements")
        findings.error(step, f"'{name}' is not an earlier value; {hint}", "around")
        return
    try:
        places = chosen(other.axes(findings.procedure), picks, {})
    except LookupError as fault:
        findings.error(step, f"'{fault.args[0]}' is not a place of '{name}'.", "around")
        return
    if len(places) != 1:
        findings.error(
            step, f"'{name}' has several values; name the place, such as '{name}.front'.", "around"
        )
    if not same_dimension(other.unit, step.unit):
        findings.error(step, f"'{name}' is in {other.unit}, not in {step.unit}.", "around")
    if step.limits.none or step.fit is not None:
        findings.error(
            step, "Give 'lower' and 'upper' as far as it may be off the earlier value.", "around"
        )


def _check_places(findings: Findings, step: MeasurementStep) -> None:
    key = "grid" if step.grid else "positions"
    if step.grid and step.positions:
        findings.error(step, "Give 'positions' or 'grid', not both.", "grid")
    if len(step.grid) > _MOST_LISTS:
        findings.error(step, "A place has at most three names; take a list out.", "grid")
    elif any("." in place for place in step.places):
        findings.error(step, "The name of a place holds a point; write it in words.", key)
    elif len(set(step.places)) < len(step.places):
        findings.error(step, "Two places have the same name; rename one.", key)
