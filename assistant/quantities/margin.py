"""How far a reading is inside its limits, compared with what the gauge is good for."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.quantities.amount import Amount
from assistant.quantities.limits import Judgement


@dataclass(frozen=True)
class Margin:
    """Numbers for "in by two tenths, the gauge is good for one"; the words are made elsewhere.

    ``by`` is never negative: it is how far in or out; ``unit`` of both is the tool's. ``doubtful``
    when the uncertainty is larger than the margin, so that the verdict may be wrong.
    """

    by: Amount
    good_for: Amount | None
    doubtful: bool


def margin(judged: Judgement, unit: str, uncertainty: Amount | None = None) -> Margin | None:
    """The margin of a judgement in ``unit``; None for a one-sided reading or without limits."""
    if judged.margin is None or judged.side is None:
        return None
    signed: Fraction = judged.margin.difference_to(unit)
    good_for = None
    if uncertainty is not None:
        good_for = Amount(abs(uncertainty.difference_to(unit)), unit)
    return Margin(
        by=Amount(abs(signed), unit),
        good_for=good_for,
        doubtful=good_for is not None and good_for.value > abs(signed),
    )
