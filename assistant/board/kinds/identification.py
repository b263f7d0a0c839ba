"""Numbers read off parts on the board."""

from __future__ import annotations

from assistant.board.kinds.kind import Glance, KindBoard
from assistant.board.view import Figure, Line, Scene
from assistant.board.words import BoardWords
from assistant.dialogue.facts import Fact
from assistant.dialogue.kinds.identification import Identified, NumbersDiffer, Spelled
from assistant.dialogue.states import DialogueState
from assistant.procedure.kinds.identification import IdentificationStep


class IdentificationBoard(KindBoard[IdentificationStep]):
    """A serial, batch or part number, read back before it counts."""

    kind = "identification"

    def scene(self, at: Glance, step: IdentificationStep, awaiting: DialogueState) -> Scene:
        """The number that is awaited, or the one that was heard."""
        if not isinstance(awaiting, Spelled):
            return at.nothing_special
        words = at.words
        label = words("what_" + step.what)
        if awaiting.text:
            return Scene(words("task_readback"), figure=Figure(label, awaiting.text))
        lines = (Line("", step.say),)
        return Scene(words("task_identify"), lines=lines, figure=Figure(label, awaited=True))

    def recorded(self, fact: Fact, words: BoardWords) -> str:
        """The number, or that it is no pair."""
        if isinstance(fact, NumbersDiffer):
            return words("record_differs", text=fact.text)
        if not isinstance(fact, Identified):
            return ""
        return words("record_identified", what=words("what_" + fact.what), text=fact.text)
