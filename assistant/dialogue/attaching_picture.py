"""The picture that a step asks for, once everything else in the step is done."""

from __future__ import annotations

from assistant.dialogue import steps
from assistant.dialogue.context import Context
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import PictureOwed
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command


class AttachingPicture(StateOwner[PictureOwed]):
    """The builder attaches it, hears which one it is, and goes on."""

    states = (PictureOwed,)

    def may_be_said(self, context: Context, state: State, at: PictureOwed) -> MayBeSaid:
        """That it is attached; attaching a picture goes everywhere."""
        return MayBeSaid(("go_on", "done"), go_back=True, skip=True)

    def answer(self, turn: Turn, at: PictureOwed, said: Said) -> bool:
        """Done, if the picture is there."""
        if said.meaning not in (Command("go_on"), Command("done")):
            return False
        steps.complete(turn)
        return True

    def ask_again(self, turn: Turn, at: PictureOwed) -> None:
        """Say what must be seen in it."""
        turn.say("picture_owed", tone="ask", text=turn.step.picture)

    def next_line(self, builder: StandIn, at: PictureOwed) -> str:
        """Attach one, then go on."""
        there = builder.state.step in builder.state.pictured.values()
        return builder.say("go_on" if there else "attach_picture")
