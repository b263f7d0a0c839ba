"""Torque from the bolt: a cross-check that queries a procedure's torque, never a replacement."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from assistant.quantities.amount import Amount
from assistant.quantities.threads import Thread

# Proof stress in MPa up to and over 16 mm (ISO 898-1 table 3; from memory, checked in the tests
# against published proof loads).
_ISO_PROOF: dict[str, tuple[int, int]] = {
    "4.6": (225, 225),
    "4.8": (310, 310),
    "5.6": (280, 280),
    "5.8": (380, 380),
    "6.8": (440, 440),
    "8.8": (580, 600),
    "9.8": (650, 650),  # to 16 mm only
    "10.9": (830, 830),
    "12.9": (970, 970),
}
# Stress at 0.2 % strain in MPa (ISO 3506-1:2009 table 2; from memory): stainless bolts have no
# proof load of their own, so this stands in its place.
_STAINLESS: dict[str, int] = {"50": 210, "70": 450, "80": 600}
_STAINLESS_GRADES = tuple(
    f"{steel}-{strength}" for steel in ("A2", "A4") for strength in _STAINLESS
)
# Proof stress in psi as (largest diameter in inches, stress) (SAE J429; grades 4, 5.1, 5.2, 8.1
# and 8.2 from memory). The table
# begins at 1/4 in; number sizes are taken with the same stress: common practice, no source.
_SAE_PROOF: dict[str, tuple[tuple[Fraction, int], ...]] = {
    "grade 1": ((Fraction(3, 2), 33_000),),
    "grade 2": ((Fraction(3, 4), 55_000), (Fraction(3, 2), 33_000)),
    "grade 4": ((Fraction(3, 2), 65_000),),
    "grade 5": ((Fraction(1), 85_000), (Fraction(3, 2), 74_000)),
    "grade 5.1": ((Fraction(5, 8), 85_000),),
    "grade 5.2": ((Fraction(1), 85_000),),
    "grade 8": ((Fraction(3, 2), 120_000),),
    "grade 8.1": ((Fraction(3, 2), 120_000),),
    "grade 8.2": ((Fraction(1), 120_000),),
}

NUT_FACTORS: dict[str, Fraction] = {"dry": Fraction("0.20"), "lubricated": Fraction("0.15")}
"""K for plain steel, common practice, no source; real joints lie anywhere from 0.1 to 0.3."""

STEEL_GPA = 205
"""Young's modulus of steel, handbook value from memory."""

USUAL_SHARE = (Fraction(1, 2), Fraction(9, 10))
"""Share of the proof load at which bolts are usually tightened, common practice, no source."""


class JointError(ValueError):
    """A property class that is not known, or does not cover a bolt; one sentence."""


def proof_stress(thread: Thread, grade: str) -> Fraction:
    """Proof stress in MPa of a property class (``8.8``) or an SAE grade (``grade 5``).

    Raises:
        JointError: unknown class, or a thread that its standard does not cover.
    """
    if grade in _ISO_PROOF:
        _require_iso_cover(thread, grade)
        small, large = _ISO_PROOF[grade]
        return Fraction(small if thread.diameter.value <= 16 else large)
    if grade in _STAINLESS_GRADES:
        if thread.inch or not Fraction("1.6") <= thread.diameter.value <= 39:
            raise JointError(
                f"ISO 3506-1 does not cover {thread}; its classes are for M1.6 to M39."
            )
        return Fraction(_STAINLESS[grade.partition("-")[2]])
    if grade in _SAE_PROOF:
        for largest, psi in _SAE_PROOF[grade]:
            if thread.inch and thread.diameter.value <= largest:
                return Amount(Fraction(psi), "psi").to("MPa").value
        end = _mixed(_SAE_PROOF[grade][-1][0])
        raise JointError(
            f"SAE J429 {grade} does not cover {thread}; it is for inch threads to {end}."
        )
    known = ", ".join((*_ISO_PROOF, *_STAINLESS_GRADES, *_SAE_PROOF))
    raise JointError(f"'{grade}' is not a known property class; use one of: {known}.")


def _mixed(inches: Fraction) -> str:
    """As a size is written on paper: ``5/8``, ``1 1/2``."""
    whole, part = divmod(inches, 1)
    return " ".join(str(number) for number in (whole, part) if number)


def _require_iso_cover(thread: Thread, grade: str) -> None:
    """Raise unless the class covers the thread.

    ISO 898-1 clause 1 and table 3: M1.6 to M39, fine pitches from M8x1, class 9.8 to M16.
    """
    size = thread.diameter.value
    if thread.inch or not Fraction("1.6") <= size <= 39 or not (thread.coarse or size >= 8):
        raise JointError(
            f"ISO 898-1 does not cover {thread}; its classes are for M1.6 to M39, in fine pitches "
            "from M8x1."
        )
    if grade == "9.8" and size > 16:
        raise JointError(f"ISO 898-1 class 9.8 ends at M16, and this is {thread}.")


def proof_load(thread: Thread, grade: str) -> Amount:
    """The load that a bolt bears without a lasting stretch, to the nearest newton."""
    return Amount(Fraction(round(thread.stress_area * float(proof_stress(thread, grade)))), "N")


def torque_for(force: Amount, diameter: Amount, nut_factor: Fraction) -> Amount:
    """T = K x d x F: the torque that gives the clamp ``force``, in N*m, exactly."""
    newtons, metres = force.to("N").value, diameter.to("mm").value / 1000
    return Amount(nut_factor * metres * newtons, "N*m")


@dataclass(frozen=True)
class TorqueQuery:
    """How a torque compares with the one that would load the bolt to its proof load.

    ``share`` is that ratio; ``query`` is one sentence when it is out of the usual, else None.
    """

    share: Fraction
    query: str | None


def torque_query(
    target: Amount, thread: Thread, grade: str, condition: Literal["dry", "lubricated"]
) -> TorqueQuery:
    """Compare a procedure's torque with the bolt's proof load; the manual still governs.

    Raises:
        JointError: unknown class.
    """
    full = torque_for(proof_load(thread, grade), thread.diameter, NUT_FACTORS[condition])
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
    return TorqueQuery(share, sentence)


@dataclass(frozen=True)
class TurnEstimate:
    """Where a turn after a torque leaves a bolt, as shares of its proof load.

    ``seated`` is the torque's part. ``most`` is where the turn would take it if the joint did not
    give at all: the turn's advance along the pitch is then all stretch, by Hooke's law.
    """

    seated: Fraction
    most: Fraction


def turned_on(
    seated: Fraction, turn: Amount, thread: Thread, grade: str, grip: Amount
) -> TurnEstimate:
    """Estimate a turn by angle; VDI 2230 takes such a bolt to its yield by design.

    Raises:
        JointError: unknown class, or a grip that is not above zero.
    """
    if grip.value <= 0:
        raise JointError("The grip of the bolt must be above zero.")
    advance = thread.pitch.to("mm").value * turn.to("deg").value / 360
    at_proof = proof_stress(thread, grade) * grip.to("mm").value / (STEEL_GPA * 1000)
    return TurnEstimate(seated, seated + advance / at_proof)
