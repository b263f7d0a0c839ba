"""The states that most steps go through: a caution said, work being done, nothing to be done."""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue import steps
from assistant.dialogue.context import Context
from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import Acknowledge, Blocked, Doing
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command

_Own = Acknowledge | Doing | Blocked


class Working(StateOwner[_Own]):
    """A caution is acknowledged, work is done, and a blocked step is left."""

    states = (Acknowledge, Doing, Blocked)

    def may_be_said(self, context: Context, state: State, at: _Own) -> MayBeSaid:
        """Understood; done; of a blocked step only what leaves it."""
        match at:
            case Acknowledge():
                return MayBeSaid(("understood",), go_back=True, correct_earlier=True)
            case Doing():
                return MayBeSaid(("done", "go_on"), go_back=True, skip=True, correct_earlier=True)
            case Blocked():
                return MayBeSaid(go_back=True, skip=True, correct_earlier=True)
            case _:
                assert_never(at)

    def answer(self, turn: Turn, at: _Own, said: Said) -> bool:
        """On to the next caution, or the next step."""
        match at, said.meaning:
            case Acknowledge(), Command(id="understood"):
                steps.acknowledge(turn, at)
            case Doing(), Command(id="done" | "go_on"):
                steps.complete(turn)
            case _:
                return False
        return True

    def not_now(self, turn: Turn, at: _Own) -> bool:
        """Of a blocked step: how it can be left."""
        if isinstance(at, Blocked):
            turn.say("blocked", why=at.why)
        return isinstance(at, Blocked)

    def ask_again(self, turn: Turn, at: _Own) -> None:
        """Say the caution again, or the work."""
        match at:
            case Acknowledge(index=index):
                steps.ask_caution(turn, index)
            case Doing():
                kind_of(turn.step).say_doing(turn, turn.step)
            case Blocked(why=why):
                turn.say("blocked", why=why)
            case _:
                assert_never(at)

    def resumed(self, turn: Turn, at: _Own) -> None:
        """What blocked the step may have been corrected meanwhile."""
        if isinstance(at, Blocked):
            steps.begin(turn)
        else:
            super().resumed(turn, at)

    def next_line(self, builder: StandIn, at: _Own) -> str:
        """Understood; done; back."""
        match at:
            case Acknowledge():
                return builder.say("understood")
            case Doing():
                return builder.say("go_on")
            case Blocked():
                return builder.say("go_back")
            case _:
                assert_never(at)
