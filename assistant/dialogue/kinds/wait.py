"""Wait: cure or soak time; only what the step names may go on while it runs."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.dialogue import steps, waiting
from assistant.dialogue.context import Context
from assistant.dialogue.facts import WaitOver, WaitStarted
from assistant.dialogue.kinds.kind import KindDialogue
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import DialogueState
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command
from assistant.procedure.kinds.wait import WaitStep
from assistant.quantities.amount import Amount


@dataclass(frozen=True)
class WaitOffered(DialogueState):
    """A wait was explained; the builder says when it starts."""


class WaitDialogue(KindDialogue[WaitStep], StateOwner[WaitOffered]):
    """The builder starts the wait, or the end of the step before does; a timer ends it."""

    kind = "wait"
    facts = (WaitStarted, WaitOver)
    states = (WaitOffered,)
    may_be_skipped = False

    def begin(self, turn: Turn, step: WaitStep) -> None:
        """Say how long it takes, and ask when it starts, or start it."""
        turn.go(WaitOffered())
        turn.say_text(step.say)
        if step.at_once:
            start_wait(turn)
            return
        turn.show("wait_takes", duration=turn.context.language.say_amount(step.duration))
        turn.say("wait_ask", tone="ask")

    def passes_by_itself(self, step: WaitStep) -> bool:
        """Whether it starts at once."""
        return step.at_once

    def waits(self, step: WaitStep) -> Amount:
        """Its duration."""
        return step.duration

    def may_be_said(self, context: Context, state: State, at: WaitOffered) -> MayBeSaid:
        """That it starts."""
        return MayBeSaid(("done", "go_on"), go_back=True, correct_earlier=True)

    def answer(self, turn: Turn, at: WaitOffered, said: Said) -> bool:
        """It starts now."""
        if said.meaning not in (Command("done"), Command("go_on")):
            return False
        start_wait(turn)
        return True

    def ask_again(self, turn: Turn, at: WaitOffered) -> None:
        """Explain it again."""
        steps.begin(turn)

    def next_line(self, builder: StandIn, at: WaitOffered) -> str:
        """Go on."""
        return builder.say("go_on")


def start_wait(turn: Turn) -> None:
    """The wait starts now; it counts as done for order only when it is over."""
    step = turn.step_as(WaitStep)
    waiting.start(turn, step)
    steps.record_done(turn)
    turn.show("wait_started", duration=turn.context.language.say_amount(step.duration))
    steps.open_next(turn)
