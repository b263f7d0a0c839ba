"""The one value of several readings, with what is known of its uncertainty."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.dialogue.state import State
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.quantities.combining import combined, enough
from assistant.quantities.propagation import Estimate, UncertaintySource, reading_estimate


def measured(
    state: State, step: MeasurementStep, combine: str, places: Sequence[str]
) -> Estimate | None:
    """The readings of ``step`` at ``places`` combined; one reading is taken as it is.

    None where one is missing; bounds and intervals (blades) are not a single value.
    """
    have = state.values.get(step.id, {})
    if not places or any(p not in have for p in places):
        return None
    if any(have[p].indication.relation != "eq" for p in places):
        return None
    if not enough(combine, len(places)):
        return None
    readings = [
        reading_estimate(
            have[p].indication.amount,
            UncertaintySource(have[p].tool or step.gauge, f"{step.id} {p}"),
            have[p].uncertainty,
            have[p].graduation,
        )
        for p in places
    ]
    return readings[0] if len(readings) == 1 else combined(readings, combine)
