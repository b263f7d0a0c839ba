"""What is recorded of shims."""

from __future__ import annotations

from typing import Literal

from assistant.dialogue.facts import Fact
from assistant.quantities.amount import Amount
from assistant.quantities.limits import Judgement, Limits


class ShimsChosen(Fact):
    """Shims from the set that bring ``gap`` to ``result``, thickest first.

    ``effect``: whether they close the gap or open it. ``present`` is the thickness of the shims
    that were in when the gap was measured, and come out; ``change`` what is added to it, or removed
    where it is below zero. ``kept_for`` is the step whose shims were chosen together with these.
    """

    kind: Literal["shims_chosen"] = "shims_chosen"
    step: str
    quantity: str
    gap: Amount
    shims: tuple[Amount, ...]
    total: Amount
    result: Amount
    limits: Limits
    effect: Literal["close", "open"] = "close"
    shown: Amount | None = None
    judgement: Judgement | None = None
    uncertainty: Amount | None = None
    present: Amount | None = None
    change: Amount | None = None
    kept_for: str = ""
