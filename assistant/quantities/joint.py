"""Torque from the bolt: a cross-check that queries a procedure's torque, never a replacement."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from math import pi
from typing import Literal

from assistant.quantities.amount import Amount

Standard = Literal["ISO 898-1", "SAE J429"]

# Proof stress in MPa up to and over 16 mm (ISO 898-1 table 3; from memory, checked in the tests
# against published proof loads).
_ISO_PROOF: dict[str, tuple[int, int]] = {
    "4.6": (225, 225),
    "4.8": (310, 310),
    "5.6": (280, 280),
    "5.8": (380, 380),
    "6.8": (440, 440),
    "8.8": (580, 600),
    "9.8": (650, 650),
    "10.9": (830, 830),
    "12.9": (970, 970),
}
# Proof stress in psi as (largest diameter in inches, stress) (SAE J429, published table).
_SAE_PROOF: dict[str, tuple[tuple[Fraction, int], ...]] = {
    "grade 1": ((Fraction(3, 2), 33_000),),
    "grade 2": ((Fraction(3, 4), 55_000), (Fraction(3, 2), 33_000)),
    "grade 5": ((Fraction(1), 85_000), (Fraction(3, 2), 74_000)),
    "grade 8": ((Fraction(3, 2), 120_000),),
}

NUT_FACTORS: dict[str, Fraction] = {"dry": Fraction("0.20"), "lubricated": Fraction("0.15")}
"""K for plain steel, common practice, no source; real joints lie anywhere from 0.1 to 0.3."""

USUAL_SHARE = (Fraction(1, 2), Fraction(9, 10))
"""Share of the proof load at which bolts are usually tightened, common practice, no source."""


class JointError(ValueError):
    """A thread or property class that is not known; the message is one sentence."""


@dataclass(frozen=True)
class Thread:
    """A 60-degree screw thread: nominal diameter and pitch."""

    diameter: Amount
    pitch: Amount

    @property
    def stress_area(self) -> float:
        """Tensile stress area in mm2: At = pi/4 (d - 0.9382 p)^2 (ISO 898-1).

        ASME B1.1 writes the same with threads per inch n: pi/4 (D - 0.9743/n)^2 in square inches.
        """
        inch = self.diameter.unit == "in"
        factor = Fraction("0.9743") if inch else Fraction("0.9382")
        root = self.diameter.to("mm").value - factor * self.pitch.to("mm").value
        return pi / 4 * float(root) ** 2


_METRIC = re.compile(r"M(\d+(?:\.\d+)?)(?:x(\d+(?:\.\d+)?))?")
_INCH = re.compile(r"(\d+)/(\d+)-(\d+)|(\d+)-(\d+)")
# ISO 261 coarse pitches in mm.
_COARSE = {
    "3": "0.5", "4": "0.7", "5": "0.8", "6": "1", "8": "1.25", "10": "1.5", "12": "1.75",
    "14": "2", "16": "2", "18": "2.5", "20": "2.5", "22": "2.5", "24": "3", "27": "3",
    "30": "3.5", "33": "3.5", "36": "4", "39": "4",
}  # fmt: skip


def thread(text: str) -> Thread:
    """Read a thread: ``M8`` (coarse), ``M8x1``, ``1/4-20`` or ``1-8`` (inch, threads per inch).

    Raises:
        JointError: no such thread.
    """
    if metric := _METRIC.fullmatch(text):
        size, pitch = metric.groups()
        pitch = pitch or _COARSE.get(size)
        if pitch is not None and 0 < Fraction(pitch) * 2 < Fraction(size):
            return Thread(Amount(Fraction(size), "mm"), Amount(Fraction(pitch), "mm"))
    elif inch := _INCH.fullmatch(text):
        top, bottom, per_inch, whole, whole_per_inch = inch.groups()
        number = int(per_inch or whole_per_inch)
        below = int(bottom or 1)
        if number and below:
            size_in = Fraction(int(top or whole), below)
            if Fraction(2, number) < size_in:
                return Thread(Amount(size_in, "in"), Amount(Fraction(1, number), "in"))
    raise JointError(f"'{text}' is no thread known here; write M8, M8x1 or 1/4-20.")


def proof_stress(of: Thread, grade: str) -> Fraction:
    """Proof stress in MPa of a property class (``8.8``) or an SAE grade (``grade 5``).

    Raises:
        JointError: unknown class, or a diameter that its table does not cover.
    """
    if grade in _ISO_PROOF:
        small, large = _ISO_PROOF[grade]
        return Fraction(small if of.diameter.to("mm").value <= 16 else large)
    if grade in _SAE_PROOF:
        for largest, psi in _SAE_PROOF[grade]:
            if of.diameter.to("in").value <= largest:
                return Amount(Fraction(psi), "psi").to("bar").value / 10
        raise JointError(f"SAE J429 {grade} covers no bolt of {of.diameter}.")
    known = ", ".join((*_ISO_PROOF, *_SAE_PROOF))
    raise JointError(f"'{grade}' is no property class known here; use one of: {known}.")


def proof_load(of: Thread, grade: str) -> Amount:
    """The load that a bolt bears without a lasting stretch, to the nearest newton."""
    return Amount(Fraction(round(of.stress_area * float(proof_stress(of, grade)))), "N")


def torque_for(force: Amount, diameter: Amount, nut_factor: Fraction) -> Amount:
    """T = K x d x F: the torque that gives the clamp ``force``, in N*m, exactly."""
    newtons, metres = force.to("N").value, diameter.to("mm").value / 1000
    return Amount(nut_factor * metres * newtons, "N*m")


def force_for(torque: Amount, diameter: Amount, nut_factor: Fraction) -> Amount:
    """F = T / (K x d): the clamp force that ``torque`` gives, in N, exactly.

    Raises:
        JointError: the diameter or the nut factor is not above zero.
    """
    metres = diameter.to("mm").value / 1000
    if metres <= 0 or nut_factor <= 0:
        raise JointError("The bolt's diameter and the nut factor must be above zero.")
    return Amount(torque.to("N*m").value / (nut_factor * metres), "N")


@dataclass(frozen=True)
class TorqueQuery:
    """How a torque compares with the one that would load the bolt to its proof load.

    ``share`` is that ratio; ``query`` is one sentence when it is out of the usual, else None.
    """

    share: Fraction
    proof_torque: Amount
    query: str | None


def torque_query(
    target: Amount, of: Thread, grade: str, condition: Literal["dry", "lubricated"]
) -> TorqueQuery:
    """Compare a procedure's torque with the bolt's proof load; the manual still governs.

    Raises:
        JointError: unknown class.
    """
    full = torque_for(proof_load(of, grade), of.diameter, NUT_FACTORS[condition])
    share = target.to("N*m").value / full.value
    low, high = USUAL_SHARE
    sentence: str | None = None
    percent = round(share * 100)
    if share > 1:
        sentence = (
            f"{target} would load this bolt to {percent} % of its proof load and may stretch it "
            "for good; check the manual before you tighten."
        )
    elif not low <= share <= high:
        sentence = (
            f"{target} would load this bolt to {percent} % of its proof load, which is "
            f"{'little' if share < low else 'much'}; check the torque with the manual."
        )
    return TorqueQuery(share, full, sentence)
