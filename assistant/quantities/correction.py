"""Corrections of a reading: zero offset, setting master, temperature."""

from __future__ import annotations

from fractions import Fraction

from assistant.quantities.amount import Amount

REFERENCE_TEMPERATURE = Amount(Fraction(20), "degC")
"""Sizes are meant at 20 degC (ISO 1)."""

EXPANSION: dict[str, Fraction] = {
    "steel": Fraction("11.5e-6"),
    "stainless": Fraction("16e-6"),
    "cast_iron": Fraction("10.5e-6"),
    "aluminium": Fraction("23e-6"),
    "bronze": Fraction("18e-6"),
    "brass": Fraction("19e-6"),
}
"""Linear thermal expansion per degree Celsius, handbook values from memory; alloys differ by
some 10 %. GUM annex H.1 works with 11.5e-6 for its steel end gauge."""


def without_zero(reading: Amount, zero: Amount) -> Amount:
    """The reading less what the gauge showed at zero; exact, in the reading's unit."""
    return Amount(reading.value - zero.to(reading.unit).value, reading.unit, reading.resolution)


def against_master(reading: Amount, on_master: Amount, master: Amount) -> Amount:
    """The size, from a comparison: master size plus reading less the reading on the master."""
    unit = reading.unit
    size = reading.value - on_master.to(unit).value + master.to(unit).value
    return Amount(size, unit, reading.resolution)


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
