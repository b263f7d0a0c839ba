"""The units a builder is used to: one per dimension to speak in, and the other beside it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.quantities.amount import Amount
from assistant.quantities.units import dimension

_OTHER = {
    "in": "mm",
    "thou": "mm",
    "tenth": "um",
    "mm": "in",
    "um": "tenth",
    "N*m": "lbf*ft",
    "lbf*ft": "N*m",
    "lbf*in": "N*m",
    "N": "lbf",
    "lbf": "N",
    "bar": "psi",
    "psi": "bar",
    "degC": "degF",
    "degF": "degC",
}


@dataclass(frozen=True)
class Habit:
    """The unit in which a builder thinks, for length and for torque."""

    length: str
    torque: str

    def of(self, amount: Amount) -> Amount:
        """The amount in the builder's unit, exactly; as it is where there is no habit."""
        for unit in (self.length, self.torque):
            if dimension(unit) == dimension(amount.unit):
                return amount.to(unit)
        return amount


INCH = Habit("thou", "lbf*ft")
METRIC = Habit("mm", "N*m")


def both_units(amount: Amount) -> tuple[Amount, Amount | None]:
    """The amount as it was stated, and beside it in the other system for the record.

    The second is rounded, to at least a tenth of the first one's resolution (four figures where
    none is stated); it is for the eye. Verdicts are always made on the first. None for units
    that both systems share.
    """
    other = _OTHER.get(amount.unit)
    if other is None:
        return amount, None
    exact = amount.to(other)
    if exact.resolution is not None:
        places = 0
        while Fraction(1, 10**places) > exact.resolution / 10:
            places += 1
    else:
        places = max(0, 4 - len(str(abs(int(exact.value)))))
    step = Fraction(1, 10**places)
    return amount, Amount(round(exact.value / step) * step, other, step)
