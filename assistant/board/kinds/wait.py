"""Waits on the board."""

from __future__ import annotations

from assistant.board.figures import number
from assistant.board.kinds.kind import Glance, KindBoard
from assistant.board.view import Figure, Line, Scene
from assistant.dialogue.kinds.wait import WaitOffered
from assistant.dialogue.states import DialogueState
from assistant.procedure.kinds.wait import WaitStep
from assistant.quantities.symbols import symbol


class WaitBoard(KindBoard[WaitStep]):
    """A wait that the builder starts; while it runs, it counts down below every other step."""

    kind = "wait"

    def scene(self, at: Glance, step: WaitStep, awaiting: DialogueState) -> Scene:
        """How long it is going to be."""
        if not isinstance(awaiting, WaitOffered):
            return at.nothing_special
        words, duration = at.words, step.duration
        figure = Figure(words("figure_duration"), number(duration), symbol(duration.unit))
        return Scene(words("task_wait"), lines=(Line("", step.say),), figure=figure)
