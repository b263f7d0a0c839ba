"""Limits that lie around an earlier value: a spacer is ground to the size that was computed."""

from __future__ import annotations

from fractions import Fraction
from typing import TypeVar

from assistant.dialogue.estimating import estimate_of, shown_value
from assistant.dialogue.state import State
from assistant.procedure.models import Procedure
from assistant.procedure.places import reference
from assistant.procedure.step import GaugedStep, LimitedStep
from assistant.quantities.amount import Amount

G = TypeVar("G", bound=GaugedStep)


def target_of(procedure: Procedure, state: State, step: GaugedStep) -> Amount | None:
    """The earlier value that the limits of ``step`` lie around, as it was said; None without."""
    if step.around is None:
        return None
    found = estimate_of(procedure, state, step.around)
    source = procedure.step(reference(step.around).step)
    assert isinstance(source, LimitedStep)
    return None if found is None else shown_value(found, source)


def guard_of(procedure: Procedure, state: State, step: GaugedStep) -> Amount | None:
    """Expanded uncertainty of that value, where the limits are guarded; None where not known."""
    found = None if step.around is None else estimate_of(procedure, state, step.around)
    return None if found is None else found.uncertainty


def with_limits(procedure: Procedure, state: State, step: G) -> G:
    """``step`` with the limits that it has now: around the earlier value, where it names one.

    Guarded limits are drawn in by the uncertainty of that value; that of the gauge comes on top
    when a reading is judged.
    """
    target = target_of(procedure, state, step)
    if target is None:
        return step
    spread = guard_of(procedure, state, step) if step.rule == "guarded" else None
    guard = Fraction(0) if spread is None else spread.difference_to(step.unit)
    ends = {
        key: None if end is None else _beside(target, end, step.unit, inward)
        for key, end, inward in (("lower", step.lower, guard), ("upper", step.upper, -guard))
    }
    return step.model_copy(update={**ends, "around": None})  # once only


def _beside(target: Amount, end: Amount, unit: str, inward: Fraction) -> Amount:
    return Amount(target.to(unit).value + end.difference_to(unit) + inward, unit)
