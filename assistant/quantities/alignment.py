"""Shaft alignment by dial indicators: offset, slope, and how far the feet must move.

The machine that stays carries the bracket; the dial rides on the coupling half of the machine that
is moved. It is set to zero on one side (the top) and read on the other (the bottom), with both
shafts turned together. Then every result is how far the moved machine has to go *towards the side
where the dial was set to zero*: up by shims, or sideways. A negative one goes the other way.

- A shaft that lies low by ``h`` pushes the plunger in by ``h`` at the bottom and lets it out by
  ``h`` at the top. The dial shows twice the offset.
- The bracket sags under its own weight. On a straight bar it shows the ``sag`` at the bottom, zero
  at the top: a negative number. What it shows there is no offset, and is taken off. Sideways there
  is none.
- The face of the half leans with the shaft. Read over a circle of ``diameter``, it gives the slope,
  which is carried on to the feet: ``foot = offset + slope * distance`` behind the rim dial.
- With two dials on the rims, ``apart`` along the shaft, the second rides on the half that stays and
  its bracket on the half that is moved, so it shows the same offset with the other sign.

The geometry is exact for small angles: the dial follows the shaft within a millionth for slopes of
up to 1 mm/m.
"""

from __future__ import annotations

from fractions import Fraction


def rim_offset(zeroed: Fraction, opposite: Fraction, sag: Fraction = Fraction(0)) -> Fraction:
    """How far the shaft has to move at the rim dial; ``sag`` as the bracket shows it on a bar."""
    return (opposite - zeroed - sag) / 2


def standing_offset(zeroed: Fraction, opposite: Fraction, sag: Fraction = Fraction(0)) -> Fraction:
    """The same from a dial that rides on the half that stays, its bracket on the one moved."""
    return -rim_offset(zeroed, opposite, sag)


def face_slope(zeroed: Fraction, opposite: Fraction, diameter: Fraction) -> Fraction:
    """The slope, as a plain number, by which the back of the machine has to move further.

    Raises:
        ZeroDivisionError: the circle of the dial has no diameter.
    """
    return (opposite - zeroed) / diameter


def dial_slope(moved: Fraction, standing: Fraction, apart: Fraction) -> Fraction:
    """The slope from two offsets: on the half that is moved, and on the one that stays.

    ``apart`` is the distance from one dial to the other, along the shaft.

    Raises:
        ZeroDivisionError: the dials are at one place.
    """
    return (moved - standing) / apart


def foot_move(offset: Fraction, slope: Fraction, distance: Fraction) -> Fraction:
    """How far a foot has to move that stands ``distance`` behind the place of ``offset``."""
    return offset + slope * distance
