"""Adjust and measure again: what is to be done about a value out of limits, and how often."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.state import State, Value
from assistant.dialogue.turn import Turn
from assistant.procedure.adjusting import AdjustableStep, Remedy, Side
from assistant.procedure.step import LimitedStep, Step


def side_of(step: LimitedStep, value: Value) -> Side:
    """Which limit a value has passed, or is too near to; empty where that is not known."""
    if value.judgement.side is not None:
        return "high" if value.judgement.side == "upper" else "low"
    low, high = value.indication.bounds(step.unit)
    lower, upper = (None if a is None else a.to(step.unit).value for a in (step.lower, step.upper))
    if _reaches(low, upper):
        return "high"
    return "low" if _reaches(lower, high) else ""


def _reaches(one: Fraction | None, other: Fraction | None) -> bool:
    return one is not None and other is not None and one >= other


def remedy(step: Step, value: Value) -> Remedy | None:
    """What the procedure says is to be done about ``value``; None where it says nothing."""
    if not isinstance(step, AdjustableStep):
        return None
    return step.remedy(side_of(step, value))


def tries(state: State, step: Step) -> int:
    """How often the step was adjusted since its value was last within limits."""
    return state.adjusted.get(step.id, 0)


def used_up(state: State, step: Step) -> bool:
    """Whether the procedure allows no further adjustment."""
    most = step.tries if isinstance(step, AdjustableStep) else None
    return most is not None and tries(state, step) >= most


def allowed(state: State, step: Step, value: Value) -> bool:
    """Whether ``value`` may be adjusted now."""
    return remedy(step, value) is not None and not used_up(state, step)


def ask(turn: Turn, step: Step, value: Value) -> bool:
    """Say what is to be adjusted; returns whether there was anything to say."""
    found = remedy(step, value)
    if found is None:
        return False
    if used_up(turn.state, step):
        turn.say("adjust_no_more", tone="ask", count=tries(turn.state, step))
        return True
    if found.back_to is None:
        turn.say("adjust_ask", tone="ask", text=found.say)
        return True
    title = turn.context.procedure.step(found.back_to).title
    turn.say("adjust_back_ask", tone="ask", text=found.say, title=title)
    return True


def counted(turn: Turn, step: Step) -> int:
    """One more adjustment; how many there are now."""
    number = tries(turn.state, step) + 1
    turn.put(adjusted={**turn.state.adjusted, step.id: number})
    return number


def forget(turn: Turn, step: Step) -> None:
    """The value is within limits, or the part is another: counting begins again."""
    rest = {s: n for s, n in turn.state.adjusted.items() if s != step.id}
    turn.put(adjusted=rest)


def maker(state: State, step: Step, value: Value) -> str | None:
    """The step that made a value, as the procedure names it; None where it names none."""
    if not isinstance(step, AdjustableStep):
        return None
    found = remedy(step, value)
    named = step.made_by or (None if found is None else found.back_to)
    return named if named in state.history else None
