"""Shims: chosen from the set on the bench so that what is left of a gap is within limits."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.dialogue import steps, tooling
from assistant.dialogue.kinds.kind import KindDialogue
from assistant.dialogue.kinds.shims import choosing
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.dialogue.kinds.shims.filling import shimmed
from assistant.dialogue.limit_words import limit_words
from assistant.dialogue.state import State
from assistant.dialogue.turn import Turn
from assistant.dialogue.value_label import before_value
from assistant.procedure.kinds.shims import ShimStep
from assistant.procedure.models import Procedure
from assistant.quantities.propagation import Estimate
from assistant.quantities.tools import Need


class ShimsDialogue(KindDialogue[ShimStep]):
    """Shims told, and fitted; a gap for which there are none blocks the step."""

    kind = "shims"
    facts = (ShimsChosen,)

    def begin(self, turn: Turn, step: ShimStep) -> None:
        """Choose the shims and tell them."""
        turn.say_text(step.say)
        choosing.choose(turn, step)

    def say_doing(self, turn: Turn, step: ShimStep) -> None:
        """Which shims to fit is repeated."""
        steps.begin(turn)

    def completed(self, turn: Turn, step: ShimStep) -> None:
        """The gap that is left counts from now on."""
        choosing.fitted(turn, step)

    def obstacle(self, turn: Turn, step: ShimStep) -> str | None:
        """The set of shims on the bench."""
        return tooling.checked(turn, step.stock, Need("shim_set"))

    def estimate(
        self,
        procedure: Procedure,
        state: State,
        step: ShimStep,
        combine: str,
        places: Sequence[str],
    ) -> Estimate | None:
        """The gap that is left, once the shims are in."""
        left = state.derived.get(step.id)
        if left is None:
            return None
        return shimmed(procedure, state, step, left, state.fitted.get(step.id, ()))

    def say_limit(self, turn: Turn, step: ShimStep) -> None:
        """The limits of what is left of the gap."""
        turn.say("limit", quantity=step.quantity, limits=limit_words(turn, step.limits))

    def has_value(self, state: State, step: ShimStep) -> bool:
        """The gap that is left; of the open step as it is said."""
        return step.id in state.derived or state.step == step.id

    def say_digits(self, turn: Turn, step: ShimStep) -> None:
        """The digits of what is left of the gap."""
        left = choosing.digits_of(turn, step)
        if left is None:
            turn.say("nothing_to_correct")
            return
        language = turn.context.language
        turn.say(
            "digits_of_last",
            tone="readback",
            position=before_value(turn, step.quantity),
            value=language.say_amount(left),
            digits=language.say_digits(left.number()),
        )
