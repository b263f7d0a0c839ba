"""Screw threads by their designation: metric ones of ISO 261, unified inch ones of ASME B1.1.

Only listed sizes are known: a slip such as M8x9 or 10-23 must not pass for a thread.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from math import pi

from assistant.quantities.amount import Amount

# ISO 261: nominal diameter in mm -> coarse pitch, then fine ones (from memory; the sizes of
# ISO 262, which is a part of it, are checked in the tests).
_METRIC_PITCHES = {
    "1": "0.25", "1.2": "0.25", "1.4": "0.3", "1.6": "0.35", "1.8": "0.35", "2": "0.4 0.25",
    "2.5": "0.45 0.35", "3": "0.5 0.35", "3.5": "0.6 0.35", "4": "0.7 0.5", "5": "0.8 0.5",
    "6": "1 0.75", "7": "1 0.75", "8": "1.25 1 0.75", "10": "1.5 1.25 1 0.75",
    "12": "1.75 1.5 1.25 1", "14": "2 1.5 1.25 1", "16": "2 1.5 1", "18": "2.5 2 1.5 1",
    "20": "2.5 2 1.5 1", "22": "2.5 2 1.5 1", "24": "3 2 1.5 1", "27": "3 2 1.5 1",
    "30": "3.5 3 2 1.5 1", "33": "3.5 3 2 1.5", "36": "4 3 2 1.5", "39": "4 3 2 1.5",
    "42": "4.5 4 3 2 1.5", "45": "4.5 4 3 2 1.5", "48": "5 4 3 2 1.5", "52": "5 4 3 2 1.5",
    "56": "5.5 4 3 2 1.5", "60": "5.5 4 3 2 1.5", "64": "6 4 3 2 1.5",
}  # fmt: skip
# ASME B1.1: size -> threads per inch, UNC, UNF and UNEF (from memory, as published in handbooks).
_NUMBER_THREADS = {
    "0": "80", "1": "64 72", "2": "56 64", "3": "48 56", "4": "40 48", "5": "40 44", "6": "32 40",
    "8": "32 36", "10": "24 32", "12": "24 28 32",
}  # fmt: skip
_INCH_THREADS = {
    "1/4": "20 28 32", "5/16": "18 24 32", "3/8": "16 24 32", "7/16": "14 20 28",
    "1/2": "13 20 28", "9/16": "12 18 24", "5/8": "11 18 24", "3/4": "10 16 20", "7/8": "9 14 20",
    "1": "8 12 14 20", "9/8": "7 12 18", "5/4": "7 12 18", "11/8": "6 12 18", "3/2": "6 12 18",
    "7/4": "5",
}  # fmt: skip
_METRIC = re.compile(r"M(\d{1,2}(?:\.\d)?)(?:x(\d(?:\.\d{1,2})?))?")
_NUMBER = re.compile(r"(\d{1,2})-(\d{1,2})")
_INCH = re.compile(r"(?:(\d)[ -])?(\d{1,2})/(\d{1,2})-(\d{1,2})")


class ThreadError(ValueError):
    """A thread that is not known; the message is one sentence."""


@dataclass(frozen=True)
class Thread:
    """A 60-degree screw thread: nominal diameter and pitch."""

    diameter: Amount
    pitch: Amount

    @property
    def inch(self) -> bool:
        """Whether it is a unified inch thread."""
        return self.diameter.unit == "in"

    @property
    def coarse(self) -> bool:
        """Whether it has the coarse pitch of its metric size."""
        pitches = _METRIC_PITCHES.get(self.diameter.number(), "")
        return not self.inch and self.pitch.number() == pitches.split(" ")[0]

    @property
    def stress_area(self) -> float:
        """Tensile stress area in mm2: At = pi/4 (d - 0.9382 p)^2 (ISO 898-1).

        ASME B1.1 writes the same with threads per inch n: pi/4 (D - 0.9743/n)^2 in square inches.
        """
        factor = Fraction("0.9743") if self.inch else Fraction("0.9382")
        root = self.diameter.to("mm").value - factor * self.pitch.to("mm").value
        return pi / 4 * float(root) ** 2

    def __str__(self) -> str:
        if self.inch:
            return f"{self.diameter} with {1 / self.pitch.value} threads to the inch"
        return f"M{self.diameter.number()}" + ("" if self.coarse else f"x{self.pitch.number()}")


def thread(text: str) -> Thread:
    """Read a thread: ``M8`` (coarse), ``M8x1``, ``1/4-20``, ``1 1/4-7``, ``1-8`` or ``10-32``.

    A number size n, from 0 to 12, measures 0.060 + 0.013 n inches (ASME B1.1). ``1-8`` is one
    inch and ``1-64`` number 1: no count of threads belongs to both.

    Raises:
        ThreadError: no such thread.
    """
    if metric := _METRIC.fullmatch(text):
        size, pitch = metric.groups()
        pitches = _METRIC_PITCHES.get(size, "").split()
        pitch = pitch or next(iter(pitches), None)
        if pitch in pitches:
            return Thread(Amount(Fraction(size), "mm"), Amount(Fraction(pitch), "mm"))
    elif number := _NUMBER.fullmatch(text):
        size, count = number.groups()
        if count in _NUMBER_THREADS.get(size, "").split():
            return _inch(Fraction("0.060") + Fraction("0.013") * int(size), count)
        if count in _INCH_THREADS.get(size, "").split():
            return _inch(Fraction(size), count)
    elif inch := _INCH.fullmatch(text):
        whole, top, bottom, count = inch.groups()
        if int(bottom):
            diameter = Fraction(int(top), int(bottom)) + int(whole or 0)
            if count in _INCH_THREADS.get(str(diameter), "").split():
                return _inch(diameter, count)
    raise ThreadError(
        f"'{text}' is not a known thread; write a size of ISO 261 such as M8 or M8x1, or of "
        "ASME B1.1 such as 1/4-20 or 10-32."
    )


def _inch(diameter: Fraction, count: str) -> Thread:
    return Thread(Amount(diameter, "in"), Amount(Fraction(1, int(count)), "in"))
