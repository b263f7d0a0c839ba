"""Derived: a value computed from earlier readings, judged like a reading."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.dialogue import steps
from assistant.dialogue.kinds.derived import deriving
from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.judged import JudgedKind
from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.limit_words import limit_words
from assistant.dialogue.owner import Said
from assistant.dialogue.stand_in import StandIn, behind
from assistant.dialogue.state import State, Value
from assistant.dialogue.states import OutOfLimit, Review
from assistant.dialogue.turn import Turn
from assistant.dialogue.value_label import before_value
from assistant.language.spec import Command
from assistant.procedure.kinds.derived import DerivedStep
from assistant.procedure.models import Procedure
from assistant.quantities.combining import combined, enough
from assistant.quantities.propagation import Estimate

_AGAIN = (Command("correction"), Command("wrong"), Command("remeasure"))


class DerivedDialogue(JudgedKind[DerivedStep]):
    """A wrong value is corrected at the readings that it comes from."""

    kind = "derived"
    facts = (ValueDerived,)

    def passes_by_itself(self, step: DerivedStep) -> bool:
        """A value within limits needs no word."""
        return True

    def begin(self, turn: Turn, step: DerivedStep) -> None:
        """Compute the value, and say it with its verdict."""
        turn.show_text(step.say)
        deriving.derive(turn, step)

    def answer_review(self, turn: Turn, step: DerivedStep, at: Review, said: Said) -> bool:
        """Measure again what it comes from."""
        if said.meaning not in _AGAIN:
            return False
        _remeasure_inputs(turn, step)
        return True

    def answer_out(self, turn: Turn, step: DerivedStep, at: OutOfLimit, said: Said) -> bool:
        """Measure again what it comes from."""
        if said.meaning not in _AGAIN:
            return False
        _remeasure_inputs(turn, step)
        return True

    def position(self, procedure: Procedure, step: DerivedStep, index: int) -> str:
        """The place of a value; the nameless one where there is one value."""
        return step.places_in(procedure)[index]

    def index(self, procedure: Procedure, step: DerivedStep, position: str) -> int:
        """The index of a place."""
        return step.places_in(procedure).index(position)

    def say_value_at(self, turn: Turn, step: DerivedStep, position: str) -> None:
        """Say the value that holds the step."""
        deriving.say_derived(turn, step, position, turn.state.held[step.id][position])

    def value_out(self, turn: Turn, step: DerivedStep, position: str) -> Value:
        """As it stands computed, or as it holds the step."""
        return deriving.standing(turn, step, position)

    def measure_again(self, turn: Turn, step: DerivedStep, index: int) -> None:
        """Nothing that it comes from was measured: compute it again."""
        deriving.derive(turn, step)

    def measured_at(self, turn: Turn, step: DerivedStep) -> str | None:
        """The first of the steps that its readings come from."""
        return next(iter(_sources(turn, step)), None)

    def only_inputs_since(self, turn: Turn, step: DerivedStep, to: str) -> bool:
        """Whether no other work comes between."""
        since = turn.state.history[turn.state.history.index(to) : -1]
        return set(since) <= behind(turn.context.procedure, step)

    def adjusted_next(self, builder: StandIn, step: DerivedStep, index: int) -> bool:
        """Whether there are readings for after the next adjustment."""
        inputs = behind(builder.context.procedure, step)
        return any(builder.has_another(source) for source in inputs)

    def part_changed(self, turn: Turn, step: DerivedStep, index: int) -> None:
        """It is held until what it was computed from is measured."""
        turn.go(OutOfLimit(index))
        _remeasure_inputs(turn, step)

    def value_stands(self, turn: Turn, step: DerivedStep) -> None:
        """Review it; compute it again where its readings were taken back meanwhile."""
        if not deriving.is_computed(turn.state, step):
            deriving.derive(turn, step)
            return
        deriving.ask_next(turn, step)

    def estimate(
        self,
        procedure: Procedure,
        state: State,
        step: DerivedStep,
        combine: str,
        places: Sequence[str],
    ) -> Estimate | None:
        """The values as they stand computed, combined; one value is taken as it is."""
        found = [deriving.computed(procedure, state, step, place) for place in places]
        known = [value for value in found if value is not None]
        if len(known) < len(found) or not known:
            return None
        if len(known) == 1:
            return known[0]
        if not enough(combine, len(known)):
            return None
        return combined(known, combine)

    def say_standing(self, turn: Turn, step: DerivedStep) -> None:
        """Say the computed value again."""
        if deriving.is_computed(turn.state, step):
            for place in step.places_in(turn.context.procedure):
                deriving.say_derived(turn, step, place, deriving.standing(turn, step, place))

    def say_limit(self, turn: Turn, step: DerivedStep) -> None:
        """The limits of the computed value."""
        turn.say("limit", quantity=step.quantity, limits=limit_words(turn, step.limits))

    def has_value(self, state: State, step: DerivedStep) -> bool:
        """Once it is computed."""
        return deriving.is_computed(state, step)

    def say_digits(self, turn: Turn, step: DerivedStep) -> None:
        """The digits of the computed value, as it was said."""
        if not deriving.is_computed(turn.state, step):
            turn.say("nothing_to_correct")
            return
        places = step.places_in(turn.context.procedure)
        at = turn.state.awaiting
        place = places[at.index] if isinstance(at, OutOfLimit) else places[-1]
        language, amount = turn.context.language, deriving.digits_of(turn, step, place)
        turn.say(
            "digits_of_last",
            tone="readback",
            position=before_value(turn, deriving.quantity_at(turn, step, place)),
            value=language.say_amount(amount),
            digits=language.say_digits(amount.number()),
        )


def _remeasure_inputs(turn: Turn, step: DerivedStep) -> None:
    sources = _sources(turn, step)
    if not sources:
        turn.say("nothing_to_correct")
        return
    since = turn.state.history[turn.state.history.index(sources[0]) : -1]
    procedure = turn.context.procedure
    long = any(kind_of(procedure.step(s)).wait_is_part_of_work for s in since)
    if long or not set(since) <= behind(procedure, step):
        # other work, or a log, would be taken back with the readings
        steps.ask_back(turn, sources[0])
        return
    turn.say("derived_remeasure")
    steps.rewind(turn, sources[0])


def _sources(turn: Turn, step: DerivedStep) -> list[str]:
    """The steps with the readings that a value comes from, in the order in which they were done."""
    procedure = turn.context.procedure
    inputs = behind(procedure, step)
    return [s for s in turn.state.history if s in inputs and kind_of(procedure.step(s)).measures]
