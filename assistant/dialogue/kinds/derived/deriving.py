"""Values computed from earlier readings, judged like readings."""

from __future__ import annotations

from assistant.dialogue import holding
from assistant.dialogue.effects import about
from assistant.dialogue.estimating import estimate_of, for_the_ear, shown_amount, shown_value
from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.limit_words import limit_words
from assistant.dialogue.state import Blocked, OutOfLimit, Review, State, Value
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.derived import DerivedStep
from assistant.procedure.models import Procedure
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.formula import FormulaError, estimate
from assistant.quantities.limits import Judgement, judge
from assistant.quantities.problem import Told
from assistant.quantities.propagation import Estimate


def inputs_of(procedure: Procedure, state: State, step: DerivedStep) -> dict[str, Estimate]:
    """The inputs of a computed value that there are, by their names in its formula."""
    found = {
        name: estimate_of(procedure, state, source, step.combine)
        for name, source in step.inputs.items()
    }
    return {name: value for name, value in found.items() if value is not None}


def derive(turn: Turn, step: DerivedStep) -> None:
    """Compute the step's value, say it with its verdict, and await the builder."""
    inputs = inputs_of(turn.context.procedure, turn.state, step)
    missing = [name for name in step.inputs if name not in inputs]
    try:
        if missing:
            raise FormulaError(turn.words("derived_missing", names=", ".join(missing)))
        found = estimate(step.formula, inputs, step.unit)
    except FormulaError as fault:
        _cannot(turn, step, fault.told)
        return
    if step.rule == "guarded" and not step.limits.none and found.uncertainty is None:
        _cannot(turn, step, turn.words("guard_unknown_computed"))
        return
    value = as_value(step, found)
    turn.put(derived={**turn.state.derived, step.id: found.amount})
    turn.record(
        ValueDerived(
            step=step.id,
            quantity=step.quantity,
            value=found.amount,
            limits=step.limits,
            judgement=value.judgement,
            formula=step.formula,
            shown=shown_value(found, step),
            uncertainty=found.uncertainty,
        )
    )
    say_derived(turn, step, value)
    if value.judgement.passes:
        holding.let_go(turn, step.id, "")
        turn.go(Review())
        turn.say("review_go_on")
    else:
        holding.hold(turn, step.id, "", value)
        turn.go(OutOfLimit(0))
        turn.say("derived_out_ask", tone="ask")


def judgement_of(step: DerivedStep, value: Estimate) -> Judgement:
    """The verdict on a computed value, its limits drawn in by its uncertainty where guarded."""
    return judge(
        Indication("eq", value.amount), step.limits, step.unit, value.uncertainty, step.rule
    )


def as_value(step: DerivedStep, found: Estimate) -> Value:
    """A computed value as a reading is kept; its step stands for the graduation."""
    fine = None if found.step is None else Amount(found.step, found.amount.unit)
    return Value(
        Indication("eq", found.amount),
        judgement_of(step, found),
        "readback",
        uncertainty=found.uncertainty,
        graduation=fine,
    )


def standing(turn: Turn, step: DerivedStep) -> Value:
    """The value of ``step``: as it stands computed, or the one that holds the step."""
    if step.id in turn.state.derived:
        found = estimate_of(turn.context.procedure, turn.state, step.id)
        assert found is not None
        return as_value(step, found)
    return turn.state.held[step.id][""]


def say_derived(turn: Turn, step: DerivedStep, value: Value) -> None:
    """Say a computed value with its verdict."""
    say = turn.context.language.say_amount
    good_for = ""
    if value.judgement.verdict == "undecided" and value.uncertainty is not None:
        good_for = turn.words("computed_good_for", good_for=say(value.uncertainty))
    turn.say(
        f"derived_{value.judgement.verdict}",
        tone="readback",
        about=about(step.id, ""),
        quantity=step.quantity,
        value=say(_told(step, value)),
        limits=f"{good_for} {limit_words(turn, step.limits)}",
    )


def _told(step: DerivedStep, value: Value) -> Amount:
    fine = None if value.graduation is None else value.graduation.value
    return for_the_ear(shown_amount(value.indication.amount, fine, value.uncertainty, step))


def digits_of(turn: Turn, step: DerivedStep) -> Amount:
    """The value computed at ``step`` as it was said."""
    return _told(step, standing(turn, step))


def _cannot(turn: Turn, step: DerivedStep, why: Told) -> None:
    turn.go(Blocked())
    turn.say("derived_cannot", tone="caution", quantity=step.quantity, why=why)


def computed(procedure: Procedure, state: State, step: DerivedStep) -> Estimate | None:
    """The value as it stands computed, with what its inputs say of it; None where it does not."""
    value = state.derived.get(step.id)
    if value is None:
        return None
    try:
        found = estimate(step.formula, inputs_of(procedure, state, step), step.unit)
    except FormulaError:
        return Estimate(value)
    return Estimate(value, found.parts, found.step)
