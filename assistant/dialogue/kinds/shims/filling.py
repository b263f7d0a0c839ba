"""The size of a gap with and without shims, with the uncertainty of each."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.estimating import estimate_of
from assistant.dialogue.gauging import gauge_in_hand, tool_in_hand
from assistant.dialogue.state import State
from assistant.procedure.kinds.shims import ShimStep
from assistant.procedure.models import Procedure
from assistant.quantities.amount import Amount
from assistant.quantities.propagation import COVERAGE, Estimate, Parts, UncertaintySource, weighted


def old_shims(procedure: Procedure, state: State, step: ShimStep) -> Estimate | None:
    """The thickness of the shims that are in now and come out; None if the step names none."""
    if step.present is None:
        return None
    before = procedure.step(step.present)
    if not isinstance(before, ShimStep):
        return estimate_of(procedure, state, step.present)
    shims = state.fitted.get(before.id)
    if shims is None:
        return None
    whole = Amount(sum((s.to(step.unit).value for s in shims), Fraction(0)), step.unit)
    return Estimate(whole, _stack_parts(procedure, state, before, shims))


def bare_gap(procedure: Procedure, state: State, step: ShimStep) -> Estimate | None:
    """The gap as it would be without any shim in it."""
    gap = estimate_of(procedure, state, step.gap)
    if gap is None or step.present is None:
        return gap
    old = old_shims(procedure, state, step)
    if old is None:
        return None
    old = old.to(gap.amount.unit)
    sign = Fraction(-1 if step.effect == "open" else 1)
    amount = Amount(gap.amount.value + sign * old.amount.value, gap.amount.unit)
    finest = min((s for s in (gap.step, old.step) if s), default=None)
    return Estimate(amount, weighted([(Fraction(1), gap.parts), (sign, old.parts)]), finest)


def shimmed(
    procedure: Procedure, state: State, step: ShimStep, result: Amount, shims: tuple[Amount, ...]
) -> Estimate:
    """The gap that is left with ``shims`` in; of each shim the set's uncertainty goes into it."""
    gap = bare_gap(procedure, state, step)
    if gap is None:
        return Estimate(result)
    gap = gap.to(result.unit)
    stack = _stack_parts(procedure, state, step, shims)
    steps = [gap.step, *(shim.to(result.unit).resolution for shim in shims)]
    finest = min((s for s in steps if s), default=None)
    sign = Fraction(1 if step.effect == "open" else -1)
    return Estimate(result, weighted([(Fraction(1), gap.parts), (sign, stack)]), finest)


def _stack_parts(
    procedure: Procedure, state: State, step: ShimStep, shims: tuple[Amount, ...]
) -> Parts | None:
    """The uncertainty of a stack: that of its set, once for each shim."""
    own = tool_in_hand(state, step.stock)
    spread = gauge_in_hand(procedure, state, step.stock).uncertainty
    if spread is None and shims:
        return None
    box = step.stock if own is None else own.id
    return {
        UncertaintySource(box, f"{step.id} shim {i}"): spread.difference_to(step.unit) / COVERAGE
        for i in range(len(shims))
        if spread is not None
    }
