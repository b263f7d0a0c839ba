"""The scene of tightening steps: the torque of the pass, and the fastener that is due."""

from __future__ import annotations

from typing import assert_never

from assistant.board.figures import amount_text, number, symbol
from assistant.board.view import Figure, Line, Scene
from assistant.board.words import BoardWords
from assistant.dialogue.announcing import at_fastener, order, pass_torque, wanted
from assistant.dialogue.context import Context
from assistant.dialogue.gauging import wrench_in_hand
from assistant.dialogue.state import Review, State, Tightening, TorqueAcknowledge
from assistant.procedure.models import TighteningStep


def tightening_scene(
    context: Context,
    state: State,
    step: TighteningStep,
    moment: Review | TorqueAcknowledge | Tightening,
    words: BoardWords,
) -> Scene:
    """The scene of a tightening step, with the very torque that the dialogue announces."""
    tool = wrench_in_hand(context.procedure, state, step.tool)
    last = len(step.passes) - 1
    index = moment.pass_index if isinstance(moment, TorqueAcknowledge | Tightening) else last
    done = moment.torque if isinstance(moment, Review) else None
    torque = pass_torque(step, tool, index) if done is None else done
    label = (
        words("figure_torque_pass", number=index + 1, total=last + 1)
        if last
        else words("figure_torque")
    )
    figure = Figure(label, number(torque), symbol(torque.unit))
    names = {c.id: c.name for c in context.procedure.consumables}
    thread = words("thread_" + step.thread, lubricant=names.get(step.lubricant or "", ""))
    lines = [Line(words("line_thread"), thread)]
    real = moment.at_fastener if isinstance(moment, Review) else at_fastener(step, tool, index)
    asked = None if isinstance(moment, Review) else wanted(step, tool, index)
    if asked is not None:
        lines.append(Line(words("line_wanted"), amount_text(asked)))
    if real is not None:
        lines.append(Line(words("line_at_fastener"), amount_text(real)))
    if step.angle is not None and index == last:
        lines.append(Line(words("line_turn"), amount_text(step.angle)))
    match moment:
        case TorqueAcknowledge():
            task = words("task_torque", tool=tool.name)
            return Scene(task, "caution", words("band_torque"), tuple(lines), figure)
        case Tightening(turn=turn):
            task = words("task_tighten", label=order(step)[turn])
            return Scene(task, "", "", tuple(lines), figure)
        case Review():
            return Scene(words("task_review_tight"), "", "", tuple(lines), figure)
        case _:
            assert_never(moment)
