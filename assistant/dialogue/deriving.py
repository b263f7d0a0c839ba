"""Values computed from earlier readings, judged like readings."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue import holding
from assistant.dialogue.facts import ValueDerived
from assistant.dialogue.measuring import about, say_limits
from assistant.dialogue.state import Blocked, OutOfLimit, Review, Value
from assistant.dialogue.turn import Turn
from assistant.procedure.models import DerivedStep
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.formula import FormulaError, evaluate
from assistant.quantities.limits import Verdict, judge


def derive(turn: Turn, step: DerivedStep) -> None:
    """Compute the step's value, say it with its verdict, and await the builder."""
    inputs = _inputs(turn, step)
    missing = [name for name in step.inputs if name not in inputs]
    try:
        if missing:
            raise FormulaError(turn.words("derived_missing", names=", ".join(missing)))
        value = evaluate(step.formula, inputs, step.unit)
    except FormulaError as fault:
        _cannot(turn, step, str(fault))
        return
    judged = judge(Indication("eq", value), step.limits, step.unit, None, step.rule)
    turn.put(derived={**turn.state.derived, step.id: value})
    turn.record(
        ValueDerived(
            step=step.id,
            quantity=step.quantity,
            value=value,
            limits=step.limits,
            judgement=judged,
            formula=step.formula,
        )
    )
    say_derived(turn, step, value)
    if judged.passes:
        holding.let_go(turn, step.id, "")
        turn.go(Review())
        turn.say("review_go_on")
    else:
        holding.hold(turn, step.id, "", Value(Indication("eq", value), judged, "readback"))
        turn.go(OutOfLimit(0))
        turn.say("derived_out_ask", tone="ask")


def say_derived(turn: Turn, step: DerivedStep, value: Amount) -> None:
    """Say a computed value with its verdict."""
    judged = judge(Indication("eq", value), step.limits, step.unit, None, step.rule)
    turn.say(
        f"derived_{judged.verdict}",
        tone="readback",
        about=about(step.id, ""),
        quantity=step.quantity,
        value=turn.context.language.say_amount(for_the_ear(value, step, judged.verdict)),
        limits=say_limits(turn, step),
    )


def for_the_ear(value: Amount, step: DerivedStep, verdict: Verdict) -> Amount:
    """``value`` rounded to a tenth of the limits' last digit, so that it can be listened to.

    Never so far that it would sound on the other side of a limit; the record keeps it exact.
    """
    places = 1 + max(
        (a.to(step.unit).decimals() or 0 for a in (step.lower, step.upper) if a is not None),
        default=2,
    )
    for more in range(6):
        step_size = Fraction(1, 10 ** (places + more))
        rounded = Amount(round(value.value / step_size) * step_size, value.unit)
        heard = judge(Indication("eq", rounded), step.limits, step.unit, None, step.rule)
        if heard.verdict == verdict:
            return rounded
    return value


def _cannot(turn: Turn, step: DerivedStep, why: str) -> None:
    turn.go(Blocked())
    turn.say("derived_cannot", tone="caution", quantity=step.quantity, why=why)


def _inputs(turn: Turn, step: DerivedStep) -> dict[str, Amount]:
    found = {n: single_value(turn, source, step.combine) for n, source in step.inputs.items()}
    return {name: value for name, value in found.items() if value is not None}


def single_value(turn: Turn, source: str, combine: str) -> Amount | None:
    """The one value of an earlier step: derived, or its readings combined; None without one.

    Bounds and intervals (blades) are no single value.
    """
    if source in turn.state.derived:
        return turn.state.derived[source]
    values = turn.state.values.get(source, {})
    amounts = [v.indication.amount for v in values.values() if v.indication.relation == "eq"]
    if not amounts or len(amounts) != len(values):
        return None
    return _combined(amounts, combine)


def _combined(amounts: list[Amount], how: str) -> Amount:
    unit = amounts[0].unit
    values = [a.to(unit).value for a in amounts]
    result = {
        "max": max(values),
        "min": min(values),
        "range": max(values) - min(values),
        "mean": sum(values, Fraction(0)) / len(values),
    }[how]
    return Amount(result, unit)
