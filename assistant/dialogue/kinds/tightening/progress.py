"""How far a tightening is: which fasteners are tightened, which comes next."""

from __future__ import annotations

from assistant.dialogue.kinds.tightening import turned
from assistant.dialogue.kinds.tightening.wrench_setting import tightening
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.tightening.stages import last_torque, stages_of
from assistant.quantities.amount import Amount


def all_done(turn: Turn) -> bool:
    """Whether every fastener is done in every pass."""
    step = tightening(turn)
    return len(turn.state.tightened) == len(stages_of(step)) * len(step.fasteners)


def next_place(turn: Turn) -> tuple[int, int]:
    """Pass and place in its order of the first fastener that is not tightened."""
    return divmod(len(turn.state.tightened), len(tightening(turn).fasteners))


def moved_in_pass(turn: Turn) -> tuple[str, ...]:
    """The fasteners that moved in the pass that was done last."""
    standing = turn.state.tightened[-len(tightening(turn).fasteners) :]
    return tuple(done.fastener for done in standing if done.moved)


def given(turn: Turn) -> tuple[Amount, ...]:
    """The torques that the fasteners got at last: one, but for a change of wrench."""
    final = last_torque(tightening(turn))
    torques = [t for t in turn.state.tightened if t.pass_index == final and t.torque is not None]
    return tuple(dict.fromkeys(t.at_fastener or t.torque for t in torques if t.torque is not None))


def part_way(turn: Turn, reason: str) -> bool:
    """Whether the step is started but not finished, so that its joint must not be relied on."""
    if all_done(turn):
        return False
    if reason == "already_done" and turned.all_were(turn):
        return False  # gone back to, and found as it was left
    return bool(turn.state.tightened or turned.on(turn))
