"""The states between steps: waiting because no step may open yet, and the end of the work."""

from __future__ import annotations

from assistant.dialogue import steps
from assistant.dialogue.context import Context
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import Ended, Waiting
from assistant.dialogue.turn import Turn
from assistant.dialogue.waiting import say_waits


class Between(StateOwner[Waiting | Ended]):
    """Nothing is to be said but what leaves the wait."""

    states = (Waiting, Ended)

    def may_be_said(self, context: Context, state: State, at: Waiting | Ended) -> MayBeSaid:
        """Back to the step before the wait; nothing at all at the end."""
        if isinstance(at, Ended):
            return MayBeSaid(anytime=())
        return MayBeSaid(("go_back",) if state.history else (), correct_earlier=True)

    def only_waits(self, at: Waiting | Ended) -> bool:
        """For the wait to be over."""
        return isinstance(at, Waiting)

    def answer(self, turn: Turn, at: Waiting | Ended, said: Said) -> bool:
        """Nothing is awaited."""
        return False

    def not_now(self, turn: Turn, at: Waiting | Ended) -> bool:
        """Say what is still waited for: whoever says "go on" in a cure is too soon."""
        if isinstance(at, Ended) or not turn.state.waits:
            return False
        turn.aside = True  # "repeat" says the line before it
        turn.say("waiting", waits=say_waits(turn))
        return True

    def ask_again(self, turn: Turn, at: Waiting | Ended) -> None:
        """Say what is waited for; a wait may have run out while something else was asked."""
        if isinstance(at, Waiting):
            steps.open_next(turn)

    def next_line(self, builder: StandIn, at: Waiting | Ended) -> None:
        """There is nothing to say."""
        return
