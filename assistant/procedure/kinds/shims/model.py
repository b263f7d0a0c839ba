"""The model of a shims step."""

from __future__ import annotations

from typing import Literal

from assistant.procedure.fields import Id
from assistant.procedure.step import LimitedStep


class ShimStep(LimitedStep):
    """Choose shims from a set so that ``gap`` minus the shims is within the limits.

    With ``effect: open`` the shims are where they widen the gap, as under a cover.
    ``gap`` names an earlier measurement or derived step; ``stock`` a gauge of kind ``shim_set``
    whose members are the shims on the bench, one entry for each shim. ``present`` names the
    thickness of the shims that were in when the gap was measured, or the step that fitted them:
    they come out, and what is to be added or removed is said. ``together_with`` names the step
    further on whose shims are chosen together with these, since both draw from one box.
    """

    kind: Literal["shims"]
    gap: Id
    stock: Id
    effect: Literal["close", "open"] = "close"
    present: Id | None = None
    together_with: Id | None = None
