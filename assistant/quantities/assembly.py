"""Small sums of assembly: preload by turning torque, bolt stretch, drop in height, compression."""

from __future__ import annotations

from fractions import Fraction

from assistant.quantities.amount import Amount
from assistant.quantities.units import UnitError, same_dimension


def _length(*amounts: Amount) -> None:
    for amount in amounts:
        if not same_dimension(amount.unit, "mm"):
            raise UnitError(f"{amount} is not a length; give it in mm, in or thou.")


def turning_torque(pull: Amount, radius: Amount, unit: str = "N*m") -> Amount:
    """Torque that turns a preloaded bearing: pull of the spring scale x radius of the string.

    Raises:
        UnitError: the pull is not a force or the radius no length.
    """
    if not same_dimension(pull.unit, "N"):
        raise UnitError(f"{pull} is not a force; read the spring scale in N or lbf.")
    _length(radius)
    newton_metres = pull.to("N").value * radius.to("mm").value / 1000
    return Amount(newton_metres, "N*m").to(unit)


def pull_for(torque: Amount, radius: Amount, unit: str = "N") -> Amount:
    """The pull on the string that shows ``torque``; to name the spring scale's limits.

    Raises:
        UnitError: not a torque and a length, or a radius of zero.
    """
    _length(radius)
    if radius.value <= 0:
        raise UnitError("The radius must be above zero; measure from the shaft's middle.")
    newtons = torque.to("N*m").value / (radius.to("mm").value / 1000)
    return Amount(newtons, "N").to(unit)


def bolt_stretch(free: Amount, tightened: Amount) -> Amount:
    """How much longer the bolt is when tight, in the unit of the free length.

    Raises:
        UnitError: not lengths.
    """
    _length(free, tightened)
    return Amount(tightened.to(free.unit).value - free.value, free.unit)


STEEL_GPA = 205
"""Young's modulus of steel, handbook value from memory."""


def stretch_of_steel(newtons: Fraction, metres: Fraction, area_mm2: Fraction) -> Fraction:
    """Stretch in metres of an even steel bar under load: F L / (A E), Hooke's law; exact."""
    return newtons * metres / (area_mm2 * STEEL_GPA * 1000)


def stretch_for(force: Amount, grip: Amount, area_mm2: float, modulus_gpa: int = 205) -> Amount:
    """Stretch of a bolt of even section: F L / (A E), in micrometres to the tenth.

    Steel has E = 205 GPa, handbook value from memory. Head and nut add some stretch of their own,
    so the maker's figure governs.

    Raises:
        UnitError: not a force and a length, or no area.
    """
    _length(grip)
    if area_mm2 <= 0:
        raise UnitError("The bolt's section must be above zero.")
    newtons = force.to("N").value
    micrometres = newtons * grip.to("mm").value / (Fraction(area_mm2) * modulus_gpa)
    return Amount(Fraction(round(micrometres * 10), 10), "um", Fraction(1, 10))


def drop(before: Amount, after: Amount) -> Amount:
    """Loss of height, such as of a gasket or a bearing stack; negative when it grew.

    Raises:
        UnitError: not lengths.
    """
    _length(before, after)
    return Amount(before.value - after.to(before.unit).value, before.unit)


def compressed_share(before: Amount, after: Amount) -> Fraction:
    """Compression as a part of the free height: 0.25 is a quarter.

    Raises:
        UnitError: not lengths, or a free height of zero.
    """
    if before.value <= 0:
        raise UnitError("The free height must be above zero; measure it again.")
    return drop(before, after).value / before.value


def compressed_clearance(clearance: Amount, free: Amount, compressed: Amount) -> Amount:
    """Clearance under a cover once its gasket is compressed, from that with the free gasket.

    Raises:
        UnitError: not lengths.
    """
    lost = drop(free, compressed)
    _length(clearance)
    return Amount(clearance.value - lost.to(clearance.unit).value, clearance.unit)
