"""Limits in words."""

from __future__ import annotations

from assistant.dialogue.turn import Turn
from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits


def limit_words(turn: Turn, limits: Limits, form: str = "") -> str:
    """Limits in words; ``form`` is ``_short`` for the least that names them."""
    say = turn.context.language.say_amount
    if limits.lower is not None and limits.upper is not None:
        return turn.words(
            "limits_both" + form,
            lower=say(limits.lower),
            upper=say(limits.upper),
            lower_number=_number(turn, limits.lower, limits.upper),
        )
    if limits.upper is not None:
        return turn.words("limits_upper" + form, upper=say(limits.upper))
    if limits.lower is not None:
        return turn.words("limits_lower" + form, lower=say(limits.lower))
    return turn.words("limits_none" + form)


def _number(turn: Turn, lower: Amount, upper: Amount) -> str:
    """The lower limit without its unit, where the upper one has the same."""
    language = turn.context.language
    if lower.unit != upper.unit:
        return language.say_amount(lower)
    return language.say_number(lower.value, lower.decimals())
