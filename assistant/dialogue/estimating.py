"""What is known of the value of an earlier step: how large, how uncertain, how finely stated."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.gauging import gauge_in_hand, tool_in_hand
from assistant.dialogue.state import State
from assistant.procedure.models import (
    DerivedStep,
    LimitedStep,
    MeasurementStep,
    Procedure,
    ShimStep,
)
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.combining import combined
from assistant.quantities.formula import FormulaError, estimate
from assistant.quantities.limits import Verdict, judge
from assistant.quantities.propagation import (
    COVERAGE,
    Estimate,
    Source,
    reading_estimate,
    rounded,
    weighted,
)

_MOST_DECIMALS_MORE = 8


def estimate_of(
    procedure: Procedure, state: State, source: str, combine: str = "mean"
) -> Estimate | None:
    """The one value of an earlier step: computed, or its readings combined; None without one.

    Bounds and intervals (blades) are no single value.
    """
    step = procedure.step(source)
    if source in state.derived and isinstance(step, DerivedStep | ShimStep):
        return _computed(procedure, state, step, state.derived[source])
    if not isinstance(step, MeasurementStep):
        return None
    return _measured(state, step, combine)


def _measured(state: State, step: MeasurementStep, combine: str) -> Estimate | None:
    have = state.values.get(step.id, {})
    places = [p for p in (step.positions or ("",)) if p in have]
    if not places or any(have[p].indication.relation != "eq" for p in places):
        return None
    if combine == "quarter_turns" and len(places) != 4:
        return None
    readings = [
        reading_estimate(
            have[p].indication.amount,
            Source(have[p].tool or step.gauge, f"{step.id} {p}"),
            have[p].uncertainty,
            have[p].graduation,
        )
        for p in places
    ]
    return combined(readings, combine)


def inputs_of(procedure: Procedure, state: State, step: DerivedStep) -> dict[str, Estimate]:
    """The inputs of a computed value that there are, by their names in its formula."""
    found = {
        name: estimate_of(procedure, state, source, step.combine)
        for name, source in step.inputs.items()
    }
    return {name: value for name, value in found.items() if value is not None}


def _computed(
    procedure: Procedure, state: State, step: DerivedStep | ShimStep, value: Amount
) -> Estimate:
    """A value that was computed, with what its inputs say of it."""
    if isinstance(step, ShimStep):
        return shimmed(procedure, state, step, value, state.fitted.get(step.id, ()))
    try:
        found = estimate(step.formula, inputs_of(procedure, state, step), step.unit)
    except FormulaError:
        return Estimate(value)
    return Estimate(value, found.parts, found.step)


def shimmed(
    procedure: Procedure, state: State, step: ShimStep, result: Amount, shims: tuple[Amount, ...]
) -> Estimate:
    """The gap that is left with ``shims`` in; of each shim the set's uncertainty goes into it."""
    gap = estimate_of(procedure, state, step.gap)
    if gap is None:
        return Estimate(result)
    gap = gap.to(result.unit)
    stock = gauge_in_hand(procedure, state, step.stock)
    own = tool_in_hand(state, step.stock)
    terms = [(Fraction(1), gap.parts)]
    steps = [gap.step]
    for index, shim in enumerate(shims):
        source = Source(step.stock if own is None else own.id, f"{step.id} shim {index}")
        spread = stock.uncertainty
        known = None if spread is None else {source: spread.difference_to(result.unit) / COVERAGE}
        terms.append((Fraction(-1), known))
        thick = shim.to(result.unit)
        steps.append(thick.resolution)
    finest = min((s for s in steps if s), default=None)
    return Estimate(result, weighted(terms), finest)


def shown_value(value: Estimate, step: LimitedStep) -> Amount:
    """A computed value rounded for ear and record, as :func:`shown_amount` does."""
    return shown_amount(value.amount, value.step, value.uncertainty, step)


def shown_amount(
    amount: Amount, fine: Fraction | None, uncertainty: Amount | None, step: LimitedStep
) -> Amount:
    """A computed value rounded: never coarser than ``fine``, the finest reading in it.

    Never so far that it would stand on the other side of a limit: more decimals are taken then.
    """

    def verdict(value: Amount) -> Verdict:
        seen = Indication("eq", value)
        return judge(seen, step.limits, step.unit, uncertainty, step.rule).verdict

    for more in range(_MOST_DECIMALS_MORE):
        told = rounded(amount, fine, more)
        if verdict(told) == verdict(amount):
            return told
    return amount


def for_the_ear(shown: Amount) -> Amount:
    """A rounded value without the zeros at its end, and never as a fraction."""
    places = shown.decimals_needed()
    if places is None:
        return shown
    return Amount(shown.value, shown.unit, Fraction(1, 10**places))
