"""Work with the hands on the board."""

from __future__ import annotations

from assistant.board.figures import number
from assistant.board.kinds.kind import Glance, KindBoard
from assistant.board.view import Figure, Line, Scene
from assistant.board.words import BoardWords
from assistant.dialogue.facts import Fact
from assistant.dialogue.kinds.action import DoingParts, PartDone, ReadyForClock, TimedWork
from assistant.dialogue.states import DialogueState, Doing
from assistant.procedure.kinds.action import ActionStep
from assistant.quantities.symbols import symbol


class ActionBoard(KindBoard[ActionStep]):
    """What to do, which way round, with what, and what to expect."""

    kind = "action"

    def scene(self, at: Glance, step: ActionStep, awaiting: DialogueState) -> Scene:
        """The words of the step in large print."""
        if not isinstance(awaiting, Doing | ReadyForClock | DoingParts):
            return at.nothing_special
        words = at.words
        figure = None
        if step.within is not None:
            allowed = number(step.within), symbol(step.within.unit)
            figure = Figure(words("figure_allowed"), *allowed)
        if isinstance(awaiting, DoingParts) and step.each:
            figure = Figure("", step.each[awaiting.index])
        names = {c.id: c.name for c in at.context.procedure.consumables}
        lines = [Line("", step.say)]
        if step.orientation:
            lines.append(Line(words("line_orientation"), step.orientation))
        if step.materials:
            materials = ", ".join(names[m] for m in step.materials)
            lines.append(Line(words("line_materials"), materials))
        if step.expect:
            lines.append(Line(words("line_expect"), step.expect))
        task = words("task_timed" if isinstance(awaiting, ReadyForClock) else "task_doing")
        return Scene(task, lines=tuple(lines), figure=figure)

    def recorded(self, fact: Fact, words: BoardWords) -> str:
        """A part that was confirmed, or a time that was too long."""
        if isinstance(fact, PartDone):
            return words("record_part_done", name=fact.name)
        if isinstance(fact, TimedWork) and fact.over_s:
            return words("record_over", seconds=fact.over_s)
        return ""
