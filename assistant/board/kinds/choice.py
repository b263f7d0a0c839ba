"""Choices on the board."""

from __future__ import annotations

from assistant.board.kinds.kind import Glance, KindBoard
from assistant.board.view import Figure, Line, Scene
from assistant.dialogue.kinds.choice import Choosing
from assistant.dialogue.states import DialogueState
from assistant.procedure.kinds.choice import ChoiceStep


class ChoiceBoard(KindBoard[ChoiceStep]):
    """One of a few options, read back before it counts."""

    kind = "choice"

    def scene(self, at: Glance, step: ChoiceStep, awaiting: DialogueState) -> Scene:
        """The options, or the one that was heard."""
        if not isinstance(awaiting, Choosing):
            return at.nothing_special
        words = at.words
        if awaiting.option:
            chosen = next(o.say for o in step.options if o.id == awaiting.option)
            return Scene(words("task_readback"), figure=Figure("", chosen))
        options = " / ".join(o.say for o in step.options)
        lines = (Line("", step.say), Line(words("line_options"), options))
        return Scene(words("task_choose"), lines=lines)
