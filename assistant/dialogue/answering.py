"""Answers what was said: the owner of the state does, or, to leave a step, the code here."""

from __future__ import annotations

from assistant.dialogue import disposing, naming, steps
from assistant.dialogue.earlier import say_earlier
from assistant.dialogue.offering import say_not_now
from assistant.dialogue.owner import Said, owner_of
from assistant.dialogue.states import Skipping
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command


def answer_state(turn: Turn, said: Said) -> None:
    """Carry out what was ``said``, which the present state awaited."""
    at = turn.state.awaiting
    if naming.asked_about(turn, said):
        return
    if owner_of(at).answer(turn, at, said):
        return
    match said.meaning:
        case Command(id="skip"):
            if not disposing.still_held(turn):
                turn.go(Skipping(at))
                turn.say("skip_ask", tone="ask")
        case Command(id="go_back"):
            steps.go_back(turn)
        case Command(id="correction"):
            say_earlier(turn)
        case _ if not owner_of(at).not_now(turn, at):
            say_not_now(turn)
