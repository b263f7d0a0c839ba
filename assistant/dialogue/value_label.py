"""The label said before a value, kept apart from it so that the two are not heard as one number."""

from __future__ import annotations

import re
from fractions import Fraction

from assistant.dialogue.turn import Turn
from assistant.language.spec import ListenSpec, NumberSpec

_NUMBERS = ListenSpec(reading=NumberSpec(("mm",), max_decimals=0, high=Fraction(999)))
_WORD = re.compile(r"[^\W_]+")


def before_value(turn: Turn, label: str, in_short: bool = False) -> str:
    """``label`` with a pause behind it; in short without, unless it may begin the number.

    "One, thirty five" and "twenty, five thou" must not be heard as a number.
    """
    if not label:
        return ""
    last = "".join(_WORD.findall(label.casefold())[-1:])  # of "M8" and "side (two)" too
    number = last[-1:].isdecimal() or last in turn.context.language.words(_NUMBERS)
    key = "at_position_short" if in_short and not number else "at_position"
    return turn.words(key, position=label)
