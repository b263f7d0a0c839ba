"""Hold points on the board."""

from __future__ import annotations

from assistant.board.kinds.kind import Glance, KindBoard
from assistant.board.plain import short
from assistant.board.view import Figure, Line, Scene
from assistant.board.words import BoardWords
from assistant.dialogue.facts import Fact
from assistant.dialogue.kinds.inspection import Inspected, Inspecting
from assistant.dialogue.states import DialogueState
from assistant.procedure.kinds.inspection import InspectionStep


class InspectionBoard(KindBoard[InspectionStep]):
    """The job holds until a second person has looked and accepted."""

    kind = "inspection"

    def scene(self, at: Glance, step: InspectionStep, awaiting: DialogueState) -> Scene:
        """Who is called, or who decides, and by which criteria."""
        if not isinstance(awaiting, Inspecting):
            return at.nothing_special
        words, person = at.words, awaiting.person
        criteria = Line(words("line_criteria"), step.criteria)
        if person:
            figure = Figure(words("figure_decides"), short(person))
            return Scene(words("task_accept"), "hold", words("band_hold"), (criteria,), figure)
        called = ", ".join(short(p.name) for p in at.state.people if p.role == "inspector")
        lines = (criteria, Line(words("line_inspectors"), called)) if called else (criteria,)
        return Scene(words("task_inspect"), "hold", words("band_hold"), lines)

    def recorded(self, fact: Fact, words: BoardWords) -> str:
        """Who decided, and how."""
        if not isinstance(fact, Inspected):
            return ""
        key = "record_inspected_yes" if fact.accepted else "record_inspected_no"
        return words(key, person=fact.person)
