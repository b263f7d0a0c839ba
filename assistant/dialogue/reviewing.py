"""The review of a step: all of it is done; the builder corrects, or goes on."""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue import steps, tooling
from assistant.dialogue.context import Context
from assistant.dialogue.kinds.judged import reviewed
from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import Review
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command


class Reviewing(StateOwner[Review]):
    """Values count from the moment the builder goes on."""

    states = (Review,)

    def may_be_said(self, context: Context, state: State, at: Review) -> MayBeSaid:
        """What the step's kind lets be corrected; leaving the step."""
        assert state.step is not None
        step = context.procedure.step(state.step)
        own = reviewed(step).review_allows(context, state, step)
        return replace(own, commands=(*own.commands, "go_back"), skip=True)

    def answer(self, turn: Turn, at: Review, said: Said) -> bool:
        """Go on, or correct."""
        step = turn.step
        if said.meaning != Command("go_on"):
            return reviewed(step).answer_review(turn, step, at, said)
        reviewed(step).confirmed(turn, step)
        if not reviewed(step).goes_on(turn, step):
            steps.complete(turn)
        return True

    def ask_again(self, turn: Turn, at: Review) -> None:
        """Ask to go on, or to correct."""
        reviewed(turn.step).say_review(turn, turn.step)

    def resumed(self, turn: Turn, at: Review) -> None:
        """Do not continue with a reading if the gauge has run out of calibration."""
        if not (kind_of(turn.step).measures and tooling.blocked_meanwhile(turn)):
            super().resumed(turn, at)

    def next_line(self, builder: StandIn, at: Review) -> str:
        """Go on where everything was heard as it was meant."""
        assert builder.state.step is not None
        step = builder.context.procedure.step(builder.state.step)
        return reviewed(step).put_right(builder, step) or builder.say("go_on")
