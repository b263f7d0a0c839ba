"""A strip of plastic gauge between two printed widths, said in one sentence.

Of all pairs of numbers only neighbours on the card can be said, so two numbers heard at once are no
less sure than one: each sentence is compared with the others as a whole, and one that does not lead
them is asked about by both its numbers before it counts.
"""

from __future__ import annotations

from itertools import pairwise

from assistant.dialogue.context import Context
from assistant.dialogue.gauging import gauge_in_hand
from assistant.dialogue.kinds.measurement.implausible import implausible
from assistant.dialogue.kinds.measurement.limits_now import with_limits
from assistant.dialogue.state import State
from assistant.language.spec import Reading
from assistant.procedure.step import GaugedStep
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.intervals import by_size

_ID = "between "  # no place has a name like it: its own id is never said


def brackets(context: Context, state: State, step: GaugedStep) -> tuple[tuple[str, str], ...]:
    """(id, words) of every sentence that names two neighbours of the card, both plausible."""
    gauge = gauge_in_hand(context.procedure, state, step.gauge)
    step = with_limits(context.procedure, state, step)
    return tuple(
        (f"{_ID}{index}", context.language.prompt("reading_between", low=low, high=high))
        for index, (small, large) in enumerate(_pairs(context, state, step))
        if all(
            not implausible(context.procedure, step, Indication("ge", w), gauge)
            for w in (small, large)
        )
        for low in _numbers(context, small)
        for high in _numbers(context, large, with_unit=True)
    )


def bracket(context: Context, state: State, step: GaugedStep, name: str) -> Reading | None:
    """The interval that such a sentence means; None of any other phrase."""
    if not name.startswith(_ID):
        return None
    small, large = _pairs(context, state, step)[int(name.removeprefix(_ID))]
    return Reading(Indication("between", small, large, lower_included=False, upper_included=False))


def _pairs(context: Context, state: State, step: GaugedStep) -> list[tuple[Amount, Amount]]:
    gauge = gauge_in_hand(context.procedure, state, step.gauge)
    if gauge.kind != "plastic_gauge":
        return []
    widths = {m.to(gauge.unit).value: m for m in by_size(gauge.members)}
    return list(pairwise(m.to(gauge.unit) for m in widths.values()))


def _numbers(context: Context, width: Amount, with_unit: bool = False) -> list[str]:
    """How a width is said: as the assistant does, digit by digit, and without its unit."""
    language, number = context.language, width.number()
    said = {
        language.say_number(width.value): language.say_amount(Amount(width.value, width.unit)),
        language.say_digits(
            number
        ): f"{language.say_digits(number)} {language.say_unit(width.unit)}",
    }
    return [*said, *said.values()] if with_unit else list(said)
