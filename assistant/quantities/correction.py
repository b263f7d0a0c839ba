"""Correction of a reading for temperature."""

from __future__ import annotations

from fractions import Fraction

from assistant.quantities.amount import Amount

REFERENCE_TEMPERATURE = Amount(Fraction(20), "degC")
"""Sizes are meant at 20 degC (ISO 1)."""


def at_reference(
    reading: Amount,
    part_temperature: Amount,
    part_expansion: Fraction,
    gauge_temperature: Amount | None = None,
    gauge_expansion: Fraction = Fraction(0),
) -> Amount:
    """The part's size at 20 degC (ISO 1), from a reading at other temperatures; exact.

    A warm part is longer, and a warm gauge reads short: L20 = reading (1 + ag (tg - 20)) /
    (1 + ap (tp - 20)). Part and gauge alike and at one temperature need no correction.

    Args:
        part_expansion: per degree Celsius.
        gauge_temperature: None when the gauge is at 20 degC or is corrected already.
    """
    part = _growth(part_temperature, part_expansion)
    gauge = Fraction(1)
    if gauge_temperature is not None:
        gauge = _growth(gauge_temperature, gauge_expansion)
    return Amount(reading.value * gauge / part, reading.unit)


def _growth(temperature: Amount, expansion: Fraction) -> Fraction:
    return 1 + expansion * (temperature.to("degC").value - REFERENCE_TEMPERATURE.value)
