"""What is known of the value of an earlier step: how large, how uncertain, how finely stated."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.state import State
from assistant.procedure.models import Procedure
from assistant.procedure.places import Coordinates, chosen, reference
from assistant.procedure.step import LimitedStep
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.limits import Verdict, judge
from assistant.quantities.propagation import Estimate, rounded

_MOST_DECIMALS_MORE = 8


def estimate_of(
    procedure: Procedure,
    state: State,
    source: str,
    combine: str = "mean",
    at: Coordinates | None = None,
) -> Estimate | None:
    """The one value of an earlier step: computed, or its readings combined; None without one.

    ``source`` may pick places of it (``rim.six``). With ``at``, only the places at those
    coordinates count. Bounds and intervals (blades) are not a single value.
    """
    name, picks = reference(source)
    step = procedure.step(name)
    places = picks
    if isinstance(step, LimitedStep):
        places = chosen(step.axes(procedure), picks, at or {})
    return kind_of(step).estimate(procedure, state, step, combine, places)


def shown_value(value: Estimate, step: LimitedStep) -> Amount:
    """A computed value rounded for ear and record, as :func:`shown_amount` does."""
    return shown_amount(value.amount, value.step, value.uncertainty, step)


def shown_amount(
    amount: Amount, fine: Fraction | None, uncertainty: Amount | None, step: LimitedStep
) -> Amount:
    """A computed value rounded: never coarser than ``fine``, the finest reading in it.

    Never so far that it would be on the other side of a limit: then it gets more decimals.
    """

    def verdict(value: Amount) -> Verdict:
        seen = Indication("eq", value)
        return judge(seen, step.limits, step.unit, uncertainty, step.rule).verdict

    for more in range(_MOST_DECIMALS_MORE):
        told = rounded(amount, fine, more)
        if verdict(told) == verdict(amount):
            return told
    return amount


def for_speech(shown: Amount) -> Amount:
    """A rounded value as it is said: without trailing zeros, and never as a fraction."""
    places = shown.decimals_needed()
    if places is None:
        return shown
    return Amount(shown.value, shown.unit, Fraction(1, 10**places))
