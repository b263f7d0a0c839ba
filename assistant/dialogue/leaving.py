"""Leaving a step or the work: skipped with a reason, gone back from, stopped."""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue import readjusting, steps
from assistant.dialogue.commands import SKIP_REASONS, YES_NO
from assistant.dialogue.context import Context
from assistant.dialogue.effects import EndSession
from assistant.dialogue.facts import WorkStopped
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.repeating import ask_again
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import GoingBack, Skipping, Stopping
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command

_Own = Skipping | GoingBack | Stopping


class Leaving(StateOwner[_Own]):
    """Each asks again before it is done."""

    states = (Skipping, GoingBack, Stopping)

    def may_be_said(self, context: Context, state: State, at: _Own) -> MayBeSaid:
        """A reason to skip; yes; or that it was not meant."""
        return MayBeSaid(("wrong", *SKIP_REASONS) if isinstance(at, Skipping) else YES_NO)

    def answer(self, turn: Turn, at: _Own, said: Said) -> bool:
        """Leave, or go on where the work was."""
        match at, said.meaning:
            case _, Command(id="wrong"):
                turn.go(at.back)
                turn.say("as_you_were")
                ask_again(turn)
            case Skipping(), Command(id=reason) if reason in SKIP_REASONS:
                steps.skip(turn, reason.removeprefix("skip_"))
            case GoingBack(adjusts=True), Command(id="confirm"):
                readjusting.gone_back(turn, at)
            case GoingBack(to=to), Command(id="confirm"):
                steps.rewind(turn, to)
            case Stopping(), Command(id="confirm"):
                _stop(turn, at)
            case _:
                return False
        return True

    def ask_again(self, turn: Turn, at: _Own) -> None:
        """Ask again."""
        match at:
            case Skipping():
                turn.say("skip_ask", tone="ask")
            case GoingBack(to=to):
                title = turn.context.procedure.step(to).title
                turn.say("go_back_ask", tone="ask", title=title)
            case Stopping():
                turn.say("stop_ask", tone="ask")
            case _:
                assert_never(at)

    def next_line(self, builder: StandIn, at: _Own) -> str:
        """To adjust what made a value, yes; else never meant: something was misheard."""
        return builder.agree(isinstance(at, GoingBack) and at.adjusts)


def _stop(turn: Turn, at: Stopping) -> None:
    turn.record(WorkStopped(step=turn.state.step))
    turn.go(at.back)
    turn.put(stopped=True)
    turn.say("stopped")
    turn.effects.append(EndSession("stopped"))
