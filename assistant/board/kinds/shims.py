"""Shims on the board."""

from __future__ import annotations

from assistant.board.figures import amount_text, number
from assistant.board.kinds.kind import Glance, KindBoard
from assistant.board.view import Figure, Line, Scene
from assistant.board.words import BoardWords
from assistant.dialogue.facts import Fact
from assistant.dialogue.kinds.shims.choosing import digits_of, kept_for, shim_stack
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.dialogue.states import DialogueState, Doing
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.shims import ShimStep
from assistant.quantities.shims import ShimStack
from assistant.quantities.symbols import symbol


class ShimsBoard(KindBoard[ShimStep]):
    """A stack of shims. No limits are shown beside it: they would be taken for its own."""

    kind = "shims"

    def scene(self, at: Glance, step: ShimStep, awaiting: DialogueState) -> Scene:
        """The shims to be fitted, the very ones that the dialogue has told."""
        if not isinstance(awaiting, Doing):
            return at.nothing_special
        words = at.words
        asking = Turn(at.context, at.state, at="")  # only asked: nothing is collected
        stack = shim_stack(asking, step)
        if not isinstance(stack, ShimStack):
            why = Line("", at.context.language.told(stack))
            return Scene(words("task_blocked"), "hold", words("band_blocked"), (why,))
        shims = " + ".join(number(shim) for shim in stack.shims) or words("shims_none")
        unit = symbol(stack.shims[0].unit) if stack.shims else ""
        left = digits_of(asking, step)
        result = amount_text(left if left is not None else stack.result.to(step.unit))
        lines = [Line("", words("shims_result", quantity=step.quantity, result=result))]
        kept = kept_for(asking, step)
        if kept is not None:
            other = " + ".join(amount_text(shim) for shim in kept[1].shims) or words("shims_none")
            lines.append(Line("", words("shims_kept", title=kept[0].title, shims=other)))
        figure = Figure("", shims, unit)
        return Scene(words("task_shims"), lines=tuple(lines), figure=figure)

    def recorded(self, fact: Fact, words: BoardWords) -> str:
        """What is left of the gap."""
        if not isinstance(fact, ShimsChosen):
            return ""
        return words("record_shims", quantity=fact.quantity, result=amount_text(fact.result))
