"""Values computed from earlier readings, judged like readings: one, or one for each place."""

from __future__ import annotations

from assistant.dialogue import adjusting, holding, steps
from assistant.dialogue.effects import about
from assistant.dialogue.estimating import estimate_of, for_speech, shown_amount, shown_value
from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.limit_words import limit_words
from assistant.dialogue.state import State, Value
from assistant.dialogue.states import Blocked, OutOfLimit, Review
from assistant.dialogue.turn import Turn
from assistant.dialogue.value_label import before_value
from assistant.procedure.kinds.derived import DerivedStep
from assistant.procedure.models import Procedure
from assistant.procedure.places import names, reference, spots
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.formula import FormulaError, estimate
from assistant.quantities.limits import Judgement, judge
from assistant.quantities.problem import Told
from assistant.quantities.propagation import Estimate


def inputs_of(
    procedure: Procedure, state: State, step: DerivedStep, place: str = ""
) -> dict[str, Estimate]:
    """The inputs of a computed value that there are, by their names in its formula."""
    axes = step.axes(procedure)
    at = dict(zip(names(axes), spots(axes), strict=True))[place]
    found = {
        name: estimate_of(procedure, state, source, step.combine, at)
        for name, source in step.inputs.items()
    }
    return {name: value for name, value in found.items() if value is not None}


def derive(turn: Turn, step: DerivedStep) -> None:
    """Compute the step's values, say each with its verdict, and await the builder."""
    found: dict[str, Estimate] = {}
    for place in step.places_in(turn.context.procedure):
        value = _compute(turn, step, place)
        if not isinstance(value, Estimate):
            _cannot(turn, step, place, value)
            return
        found[place] = value
    amounts = {place: value.amount for place, value in found.items()}
    if step.each:
        turn.put(derived_at={**turn.state.derived_at, step.id: amounts})
    else:
        turn.put(derived={**turn.state.derived, step.id: amounts[""]})
    for place, value in found.items():
        _record(turn, step, place, value)
    for place, value in found.items():
        judged = as_value(step, value)
        say_derived(turn, step, place, judged)
        if judged.judgement.passes:
            holding.end_hold(turn, step.id, place)
        else:
            holding.hold(turn, step.id, place, judged)
    ask_next(turn, step, told=len(holding.unanswered(turn.state, step.id)))


def ask_next(turn: Turn, step: DerivedStep, told: int = 0) -> None:
    """Ask what is to be done with the first value that does not pass, else for the review.

    Said first is which one, unless it is the only one ``told`` just now to be out.
    """
    places = step.places_in(turn.context.procedure)
    open_still = [p for p in holding.unanswered(turn.state, step.id) if p in places]
    if open_still:
        value = standing(turn, step, open_still[0])
        turn.go(OutOfLimit(places.index(open_still[0])))
        if told != 1:
            say_derived(turn, step, open_still[0], value)
        if not adjusting.ask(turn, step, value):
            turn.say("derived_out_ask", tone="ask")
        return
    turn.go(Review())
    if turn.state.talk is not None and all(
        standing(turn, step, place).judgement.passes for place in places
    ):
        steps.complete(turn)  # what can be wrong with it are the readings, and those were gone past
    else:
        turn.ask("review_go_on", tone="plain")


def _compute(turn: Turn, step: DerivedStep, place: str) -> Estimate | Told:
    """The value at a place, or why there is none."""
    inputs = inputs_of(turn.context.procedure, turn.state, step, place)
    missing = [name for name in step.inputs if name not in inputs]
    if missing:
        sources = (reference(step.inputs[name]).step for name in missing)
        titles = dict.fromkeys(turn.context.procedure.step(s).title for s in sources)
        return turn.words("derived_missing", names=", ".join(titles))
    try:
        found = estimate(step.formula, inputs, step.unit)
    except FormulaError as fault:
        return fault.told
    if step.rule == "guarded" and not step.limits.none and found.uncertainty is None:
        return turn.words("guard_unknown_computed")
    return found


def _record(turn: Turn, step: DerivedStep, place: str, found: Estimate) -> None:
    turn.record(
        ValueDerived(
            step=step.id,
            position=place,
            quantity=step.quantity,
            value=found.amount,
            limits=step.limits,
            judgement=judgement_of(step, found),
            formula=step.formula,
            shown=shown_value(found, step),
            uncertainty=found.uncertainty,
        )
    )


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


def is_computed(state: State, step: DerivedStep) -> bool:
    """Whether the values of ``step`` stand computed."""
    return step.id in (state.derived_at if step.each else state.derived)


def standing(turn: Turn, step: DerivedStep, place: str) -> Value:
    """The value of ``step`` at a place: as it stands computed, or the one that holds the step."""
    found = computed(turn.context.procedure, turn.state, step, place)
    return turn.state.held[step.id][place] if found is None else as_value(step, found)


def say_derived(turn: Turn, step: DerivedStep, place: str, value: Value) -> None:
    """Say a computed value with its verdict."""
    say = turn.context.language.say_amount
    good_for = ""
    if value.judgement.verdict == "undecided" and value.uncertainty is not None:
        good_for = turn.words("computed_good_for", good_for=say(value.uncertainty))
    (turn.say_short if value.judgement.passes else turn.say)(
        f"derived_{value.judgement.verdict}",
        tone="readback",
        about=about(step.id, place),
        quantity=quantity_at(turn, step, place),
        place=before_value(turn, quantity_at(turn, step, place), in_short=True),
        value=say(_told(step, value)),
        limits=f"{good_for} {limit_words(turn, step.limits)}",
    )


def quantity_at(turn: Turn, step: DerivedStep, place: str) -> str:
    """What is computed, with its place where there is a value for each."""
    if not place:
        return step.quantity
    return turn.words("quantity_at", quantity=step.quantity, position=place)


def _told(step: DerivedStep, value: Value) -> Amount:
    fine = None if value.graduation is None else value.graduation.value
    return for_speech(shown_amount(value.indication.amount, fine, value.uncertainty, step))


def digits_of(turn: Turn, step: DerivedStep, place: str) -> Amount:
    """The value computed at ``step`` as it was said."""
    return _told(step, standing(turn, step, place))


def _cannot(turn: Turn, step: DerivedStep, place: str, why: Told) -> None:
    turn.go(Blocked(turn.told(why)))
    quantity = quantity_at(turn, step, place)
    turn.say("derived_cannot", tone="caution", quantity=quantity, why=why)


def computed(
    procedure: Procedure, state: State, step: DerivedStep, place: str = ""
) -> Estimate | None:
    """The value as it stands computed, with what its inputs say of it; None where it does not."""
    known = state.derived_at.get(step.id, {}) if step.each else state.derived
    value = known.get(place if step.each else step.id)
    if value is None:
        return None
    try:
        found = estimate(step.formula, inputs_of(procedure, state, step, place), step.unit)
    except FormulaError:
        return Estimate(value)
    return Estimate(value, found.parts, found.step)
