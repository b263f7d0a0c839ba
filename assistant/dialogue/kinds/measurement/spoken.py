"""How a reading of a step may be spoken: its units, its digits, its bounds."""

from __future__ import annotations

from assistant.dialogue.context import Context
from assistant.dialogue.gauging import gauge_in_hand
from assistant.dialogue.kinds.measurement.limits_now import with_limits
from assistant.dialogue.state import State
from assistant.language.spec import NumberSpec
from assistant.procedure.step import GaugedStep
from assistant.quantities.units import same_dimension

_SPOKEN_UNITS = ("thou", "tenth", "in", "mm", "um", "N*m", "lbf*ft", "lbf*in", "deg", "degC")


def number_spec(context: Context, state: State, step: GaugedStep) -> NumberSpec:
    """Bounds on a reading of ``step``: the unit of the gauge in hand first, digits to its marks.

    The gauge in hand may be another than the one called for; a number said without a unit is always
    in the unit that it reads in.
    """
    step = with_limits(context.procedure, state, step)
    gauge = gauge_in_hand(context.procedure, state, step.gauge)
    unit = gauge.unit
    others = [u for u in _SPOKEN_UNITS if u != unit and same_dimension(u, unit)]
    if unit in ("mm", "um"):
        others = [u for u in others if u != "tenth"]
    ends = [a.to(unit).value for a in (step.lower, step.upper) if a is not None]
    low, high = (step.plausible_low, step.plausible_high)
    decimals = gauge.resolution.to(unit).decimals()
    feeler = gauge.kind in ("feeler", "plug_gauge", "ring_gauge")
    return NumberSpec(
        units=(unit, *others),
        max_decimals=4 if decimals is None else decimals,
        low=low.to(unit).value if low is not None else None,
        high=high.to(unit).value if high is not None else (max(ends) * 10 if ends else None),
        signed=signed(context, state, step),
        blades=feeler,
        # With a ring "less than" would clash with "does not go", which means the opposite there.
        bounds=gauge.kind in ("feeler", "plug_gauge", "plastic_gauge"),
    )


def signed(context: Context, state: State, step: GaugedStep) -> bool:
    """Whether a reading of ``step`` may be below zero."""
    step = with_limits(context.procedure, state, step)
    lowest = (step.plausible_low, step.lower, step.upper)
    return any(a is not None and a.value < 0 for a in lowest)
