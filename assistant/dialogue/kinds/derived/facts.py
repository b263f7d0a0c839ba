"""What is recorded of a computed value."""

from __future__ import annotations

from typing import Literal

from assistant.dialogue.facts import Fact
from assistant.quantities.amount import Amount
from assistant.quantities.limits import Judgement, Limits


class ValueDerived(Fact):
    """A value computed from earlier readings, with its verdict.

    ``value`` is exact; ``shown`` is what was said, no coarser than the finest reading in it.
    ``position`` is the place that it belongs to, where there is a value for each.
    """

    kind: Literal["value_derived"] = "value_derived"
    step: str
    quantity: str
    value: Amount
    limits: Limits
    judgement: Judgement
    formula: str
    shown: Amount | None = None
    uncertainty: Amount | None = None  # expanded, k = 2; None: not known
    position: str = ""
