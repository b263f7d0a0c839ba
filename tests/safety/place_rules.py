"""What must hold of a place that is said before its value: the two are not heard as one number."""

from __future__ import annotations

import re
from collections.abc import Iterator

from assistant.dialogue.effects import about
from assistant.procedure.kinds.derived import DerivedStep
from assistant.procedure.step import ReadStep, Step
from tests.safety.trace import Said, Trace

Breach = tuple[int, str]

_NUMBERS = frozenset((
    "zero", "oh", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
    "nineteen", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
))  # fmt: skip
_GOES_ON = re.compile(rf" (?:point|{'|'.join(sorted(_NUMBERS))})\b")


def a_place_is_not_heard_as_part_of_its_value(trace: Trace) -> Iterator[Breach]:
    """Behind "main one" or "twelve" there is a pause: "twelve point two" would be a value."""
    names = {about(step.id, place): name for step in trace.procedure.steps
             for place, name in _names(trace, step) if _NUMBERS & {*name.split()[-1:]}}  # fmt: skip
    for at, move in enumerate(trace.moves):
        if isinstance(move, Said) and move.about in names:
            _, name, rest = move.text.casefold().partition(names[move.about])
            if name and _GOES_ON.match(rest):
                yield at, f"'{name}' may be heard as part of the number: {move.text}"


def _names(trace: Trace, step: Step) -> Iterator[tuple[str, str]]:
    """Each place of a step with what is said before its value."""
    if isinstance(step, ReadStep):
        yield from ((place, step.spoken(place).casefold()) for place in step.places if place)
    elif isinstance(step, DerivedStep):
        places = step.places_in(trace.procedure)
        yield from ((place, f"{step.quantity}, {place}".casefold()) for place in places if place)
