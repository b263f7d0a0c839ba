"""The end of a tightening: to what torque everything was tightened, said and reviewed."""

from __future__ import annotations

from assistant.dialogue.kinds.tightening.progress import given
from assistant.dialogue.kinds.tightening.wrench_setting import stage_at, tightening
from assistant.dialogue.states import Review
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.tightening.stages import stages_of, turn_of


def begin_review(turn: Turn) -> None:
    """All of the step is done: say it, and wait until the builder goes on."""
    last = turn.state.tightened[-1]
    turn.go(Review(last.torque, last.at_fastener))
    say_review(turn)


def say_review(turn: Turn) -> None:
    """Say to what torque everything was tightened, and ask to go on."""
    say_tightened(turn)
    turn.ask("review_tightening_ask", tone="plain")


def say_tightened(turn: Turn, aloud: bool = True) -> None:
    """Say how many fasteners were tightened, to what torque and angle."""
    step = tightening(turn)
    say = turn.context.language.say_amount
    by = turn_of(step)
    checked = stage_at(step, len(stages_of(step)) - 1).check is not None
    key = "review_tightening" if by is None else "review_turned"
    (turn.say if aloud else turn.show)(
        "review_checked" if checked else key,
        count=len(step.fasteners),
        torque=turn.words("and").join(map(say, given(turn))),
        angle="" if by is None else say(by),
    )
