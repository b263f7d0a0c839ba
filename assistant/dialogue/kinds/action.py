"""Action: place, orient, lubricate, seal; the builder says when it is done."""

from __future__ import annotations

from assistant.dialogue.kinds.kind import KindDialogue
from assistant.dialogue.state import Doing
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.action import ActionStep


class ActionDialogue(KindDialogue[ActionStep]):
    """What to do, how it faces, with what, and what it should feel like."""

    kind = "action"
    voids_nothing = True

    def begin(self, turn: Turn, step: ActionStep) -> None:
        """Say all of it, and await that it is done."""
        turn.go(Doing())
        turn.say_text(step.say)
        if step.orientation:
            turn.say("orientation", text=step.orientation)
        if step.materials:
            names = {c.id: c.name for c in turn.context.procedure.consumables}
            turn.say("materials", names=", ".join(names[m] for m in step.materials))
        if step.expect:
            turn.say("expect", text=step.expect)
        turn.ask("say_done", tone="plain")
