"""Work with the hands on the board."""

from __future__ import annotations

from assistant.board.kinds.kind import Glance, KindBoard
from assistant.board.view import Line, Scene
from assistant.dialogue.state import DialogueState, Doing
from assistant.procedure.kinds.action import ActionStep


class ActionBoard(KindBoard[ActionStep]):
    """What to do, which way round, with what, and what to expect."""

    kind = "action"

    def scene(self, at: Glance, step: ActionStep, awaiting: DialogueState) -> Scene:
        """The words of the step in large print."""
        if not isinstance(awaiting, Doing):
            return at.nothing_special
        words = at.words
        names = {c.id: c.name for c in at.context.procedure.consumables}
        lines = [Line("", step.say)]
        if step.orientation:
            lines.append(Line(words("line_orientation"), step.orientation))
        if step.materials:
            materials = ", ".join(names[m] for m in step.materials)
            lines.append(Line(words("line_materials"), materials))
        if step.expect:
            lines.append(Line(words("line_expect"), step.expect))
        return Scene(words("task_doing"), lines=tuple(lines))
