"""The model of a derived value."""

from __future__ import annotations

from typing import Literal

from assistant.procedure.fields import Id, Text
from assistant.procedure.step import LimitedStep
from assistant.quantities.combining import Combine


class DerivedStep(LimitedStep):
    """A value computed from earlier readings: ``formula`` over names bound in ``inputs``.

    ``inputs`` maps a name in the formula to a measurement or derived step id; several positions
    are combined by ``combine``.
    """

    kind: Literal["derived"]
    formula: Text
    inputs: dict[str, Id]
    combine: Combine = "mean"
