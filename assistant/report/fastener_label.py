"""The label in the circle of a fastener: its own number or name, never its turn in the order."""

from __future__ import annotations

import re
from collections.abc import Sequence

_SMALL = """
    zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen
    sixteen seventeen eighteen nineteen
"""
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety"
_NUMBERS = {
    **{word: number for number, word in enumerate(_SMALL.split())},
    **{word: 20 + 10 * number for number, word in enumerate(_TENS.split())},
}
_LONGEST = 3  # letters that a circle has room for


def in_circle(labels: Sequence[str]) -> dict[str, str]:
    """Label -> what its circle shows: ``bolt three`` 3, ``nut 12`` 12, ``A`` A.

    Empty where the labels have no short forms that tell all of them apart: then each whole label
    is beside its circle.
    """
    short = {label: _short(label) for label in labels}
    apart = all(short.values()) and len(set(short.values())) == len(short)
    return short if apart else dict.fromkeys(labels, "")


def _short(label: str) -> str:
    if len(label) <= _LONGEST:
        return str(_NUMBERS.get(label, label))
    # The whole of a number or none of it: of "1012" no part would do.
    ending = re.search(r"((?<![\d.,/-])\d{1,3}|\b[A-Za-z]\d{0,2})$", label)
    if ending:
        return ending.group()
    said = re.findall(r"[a-z]+", label.lower())
    number = 0
    for word in reversed(said):
        if word not in _NUMBERS or (number and _NUMBERS[word] < 20):
            break
        number += _NUMBERS[word]
        if _NUMBERS[word] < 20 and (len(said) < 2 or said[-2] not in _TENS.split()):
            break
    return str(number) if number else ""


def turn_in_order(number: int) -> str:
    """1st, 2nd, 3rd, 11th: an ordinal, so that nobody takes it for a fastener's number."""
    ending = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(
        number % 10, "th")  # fmt: skip
    return f"{number}{ending}"
