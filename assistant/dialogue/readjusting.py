"""What follows when a value out of limits was adjusted, or its part reworked: measure again.

Where another step made the value, that step is done again first. What was measured before stays in
the record as it was found.
"""

from __future__ import annotations

from assistant.dialogue import adjusting, disposing, steps
from assistant.dialogue.facts import Adjusted
from assistant.dialogue.kinds.judged import judged
from assistant.dialogue.states import GoingBack, OutOfLimit, Release
from assistant.dialogue.turn import Turn
from assistant.procedure.adjusting import AdjustableStep


def adjusted(turn: Turn, at: OutOfLimit) -> None:
    """The builder says that it is adjusted: measure again, or do again the step that makes it."""
    step, kind = turn.step, judged(turn.step)
    value = kind.value_out(turn, step, disposing.position_name(turn, at.index))
    found = adjusting.remedy(step, value)
    assert found is not None
    back = found.back_to if found.back_to in turn.state.history else None
    to = back or kind.measured_at(turn, step)
    if to is None:
        _record(turn, at)
        kind.measure_again(turn, step, at.index)
        return
    if back is not None or not kind.only_inputs_since(turn, step, to):
        # other work comes between, and would be taken back with the readings
        turn.go(GoingBack(to, at, adjusts=True))
        title = turn.context.procedure.step(to).title
        turn.say("go_back_ask", tone="ask", title=title)
        return
    _record(turn, at)
    steps.rewind(turn, to, "adjusted")


def gone_back(turn: Turn, at: GoingBack) -> None:
    """Going back to what makes the value was confirmed."""
    assert isinstance(at.back, OutOfLimit)
    _record(turn, at.back)
    steps.rewind(turn, at.to, "adjusted")


def _record(turn: Turn, at: OutOfLimit) -> None:
    step = turn.step_as(AdjustableStep)
    position = disposing.position_name(turn, at.index)
    value = judged(step).value_out(turn, step, position)
    found = adjusting.remedy(step, value)
    assert found is not None
    number = adjusting.counted(turn, step)
    turn.record(
        Adjusted(
            step=step.id,
            position=position,
            number=number,
            side=adjusting.side_of(step, value),
            what=found.say,
            back_to=found.back_to or "",
            found=value.indication,
        )
    )
    turn.say("adjusted_again", number=number)


def part_changed(turn: Turn, at: Release) -> None:
    """The part was reworked or replaced: do again the step that made the value, or measure."""
    step, kind = turn.step, judged(turn.step)
    value = kind.value_out(turn, step, disposing.position_name(turn, at.index))
    adjusting.forget(turn, step)
    to = adjusting.maker(turn.state, step, value)
    if to is None:
        kind.part_changed(turn, step, at.index)
        return
    turn.say("made_again", title=turn.context.procedure.step(to).title)
    steps.rewind(turn, to)
