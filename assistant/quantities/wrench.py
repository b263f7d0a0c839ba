"""From the torque wanted at the fastener to the mark that is set on the wrench."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, cos, floor, radians
from typing import Literal

from assistant.quantities.amount import Amount
from assistant.quantities.problem import problem
from assistant.quantities.units import same_dimension

# Cosines that are rational, by degrees; the others are taken from the binary ``cos``.
_COSINES = {
    0: Fraction(1),
    60: Fraction(1, 2),
    90: Fraction(0),
    120: Fraction(-1, 2),
    180: Fraction(-1),
}


DEFAULT_SHARE = Fraction(1, 10)
"""A torque without a tolerance of its own may be off by this share of it: common practice, no
source. The wrench alone may be off by ``wrench_error``, so a joint needs more."""


def wrench_error(largest: Amount) -> Fraction:
    """The share of a torque by which a wrench that reads up to ``largest`` may be off when new.

    ISO 6789-1:2017, 5.1.5 (from memory): 4 % for dial and adjustable click wrenches over 10 N*m,
    6 % up to 10 N*m and for the other classes.
    """
    return Fraction(6 if largest.to("N*m").value <= 10 else 4, 100)


class TighteningError(ValueError):
    """A torque cannot be set so; ``problem`` tells why."""

    def __init__(self, code: str, **parameters: object) -> None:
        self.problem = problem(code, **parameters)
        super().__init__(str(self.problem))


@dataclass(frozen=True)
class Adapter:
    """What an extension or crowfoot does to the setting.

    ``factor`` times the torque wanted is to be set; ``direction`` tells whether that is lower or
    higher than the torque wanted.
    """

    factor: Fraction
    direction: Literal["lower", "same", "higher"]


def adapter(length: Amount, extension: Amount, angle: Amount) -> Adapter:
    """The correction for an adapter on the square drive: reading = torque x L / (L + E cos a).

    FAA AC 43.13-1B figure 7-2 gives it for a straight adapter (a = 0, and 180 pointing back).

    Args:
        length: L, from the square drive to the middle of the hand on the handle.
        extension: E, from the square drive to the middle of the fastener.
        angle: a, between the adapter and the line of the wrench: 0 straight on away from the
            hand, 90 square to it, 180 back over the handle. The sign does not matter.

    Raises:
        TighteningError: a length is not above zero, or the adapter points past the hand.
    """
    if not (same_dimension(length.unit, "mm") and same_dimension(extension.unit, "mm")):
        raise TighteningError("wrench_lengths")
    if not same_dimension(angle.unit, "deg"):
        raise TighteningError("adapter_angle", angle=angle)
    long, short = length.to("mm").value, extension.to("mm").value
    if long <= 0 or short < 0:
        raise TighteningError("wrench_length")
    effective = long + short * _cosine(angle.to("deg").value)
    if effective <= 0:
        raise TighteningError("adapter_reaches_back")
    factor = long / effective
    if factor == 1:
        return Adapter(factor, "same")
    return Adapter(factor, "lower" if factor < 1 else "higher")


def _cosine(degrees: Fraction) -> Fraction:
    turned = abs(degrees) % 360
    turned = min(turned, 360 - turned)
    if turned in _COSINES:
        return _COSINES[int(turned)]
    # twelve places: far finer than any wrench, and no binary tail in the record
    return Fraction(round(cos(radians(float(turned))), 12)).limit_denominator(10**12)


@dataclass(frozen=True)
class ScaleSetting:
    """What to set: ``setting`` on a graduation; ``exact`` is what it stands for, unrounded."""

    setting: Amount
    exact: Amount

    @property
    def off(self) -> Amount:
        """How far the setting is from the exact value; negative when it is under."""
        return Amount(self.setting.value - self.exact.value, self.setting.unit)


@dataclass(frozen=True)
class WantedTorque:
    """What a fastener must get: ``tolerance`` is plus or minus, at the fastener.

    ``tolerance`` None takes ``DEFAULT_SHARE`` of the target; ``prevailing`` is the drag of a
    locking nut, which comes on top.
    """

    target: Amount
    tolerance: Amount | None = None
    prevailing: Amount | None = None


@dataclass(frozen=True)
class WrenchScale:
    """A wrench's scale: a mark every ``graduation``, usable from ``lower`` to ``upper``."""

    graduation: Amount
    lower: Amount | None = None
    upper: Amount | None = None


def wrench_setting(
    wanted: WantedTorque, scale: WrenchScale, adapter: Adapter | None = None
) -> ScaleSetting:
    """The mark to set on a wrench with ``scale``, in the scale's unit.

    First the prevailing torque of a locking nut is added to the target (FAA AC 43.13-1B 7-40:
    friction drag torque is added). Then the adapter is allowed for. Then the value is rounded to
    the nearest mark; of two marks as near, the lower one. The setting never leaves the tolerance.

    Raises:
        TighteningError: not a torque, no mark within the tolerance, or out of the wrench's range.
    """
    target, tolerance, prevailing = wanted.target, wanted.tolerance, wanted.prevailing
    graduation, lower, upper = scale.graduation, scale.lower, scale.upper
    unit = graduation.unit
    given = [a for a in (target, graduation, tolerance, prevailing, lower, upper) if a is not None]
    for amount in given:
        if not same_dimension(amount.unit, "N*m"):
            raise TighteningError("not_a_torque", amount=amount)
    step = graduation.value
    if step <= 0:
        raise TighteningError("wrench_no_graduation")
    if target.value <= 0:
        raise TighteningError("torque_not_above_zero", target=target)
    factor = Fraction(1) if adapter is None else adapter.factor
    needed = target.to(unit).value
    if prevailing is not None:
        if prevailing.value < 0:
            raise TighteningError("prevailing_under_zero", prevailing=prevailing)
        needed += prevailing.to(unit).value
    exact = needed * factor
    mark = max(nearest_mark(exact, step), step)
    within = tolerance or default_tolerance(target)
    if abs(mark - exact) > abs(within.to(unit).value) * factor:
        if tolerance is None:
            raise TighteningError("no_mark_within_default", tolerance=within, target=target)
        raise TighteningError("no_mark_within", tolerance=within, target=target)
    setting = Amount(mark, unit, graduation.resolution)
    if upper is not None and mark > upper.to(unit).value:
        raise TighteningError("setting_over_range", setting=setting, upper=upper)
    if lower is not None and mark < lower.to(unit).value:
        raise TighteningError("setting_under_range", setting=setting, lower=lower)
    return ScaleSetting(setting, Amount(exact, unit))


def default_tolerance(target: Amount) -> Amount:
    """Plus or minus what a torque may be off where its procedure gives no tolerance."""
    return Amount(abs(target.value) * DEFAULT_SHARE, target.unit)


def percent(share: Fraction) -> str:
    """A share in words for a mechanic: ``10 %``."""
    return f"{float(share * 100):g} %"


def nearest_mark(value: Fraction, step: Fraction) -> Fraction:
    """The multiple of ``step`` nearest to ``value``; halfway goes down."""
    below = floor(value / step) * step
    above = ceil(value / step) * step
    return above if above - value < value - below else below
