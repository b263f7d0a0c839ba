"""A pass under way, fastener by fastener.

What stands tightened is one list in the state, pass by pass in the order of the pattern. The work
always goes on at the first fastener that is not in it, and "one was missed" takes the last one
out. So whatever comes between, no fastener is named twice in a pass without being reopened, none
is left out, and none is tightened before the wrench in hand was announced and acknowledged.
"""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue import tooling
from assistant.dialogue.edition import LOOKS_AGAIN
from assistant.dialogue.facts import Acknowledged
from assistant.dialogue.kinds.tightening import passes, turned
from assistant.dialogue.kinds.tightening.announcing import announcement
from assistant.dialogue.kinds.tightening.facts import CheckRepeated, FastenerTightened
from assistant.dialogue.kinds.tightening.progress import all_done, moved_in_pass, next_place
from assistant.dialogue.kinds.tightening.reviewing import begin_review
from assistant.dialogue.kinds.tightening.states import Tightening, TorqueAcknowledge
from assistant.dialogue.kinds.tightening.wrench_setting import (
    at_fastener,
    order,
    pass_torque,
    stage_at,
    tightening,
    turn_in,
    wrench,
)
from assistant.dialogue.state import Tightened
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.tightening import Stage
from assistant.procedure.kinds.tightening.stages import work_of


def acknowledge_torque(turn: Turn, at: TorqueAcknowledge) -> None:
    """The torque was understood: the pass begins, or goes on where it was left.

    The wrench may have run out of calibration since it was announced.
    """
    if turn.state.edition >= LOOKS_AGAIN:
        if tooling.blocked_meanwhile(turn):
            return
        if passes.set_otherwise(turn):
            passes.announce(turn)
            return
    words = announcement(turn, at.pass_index)
    turn.record(Acknowledged(step=turn.step.id, what=words, of="torque"))
    turn.go(Tightening(at.pass_index, at.turn))
    ask_fastener(turn)


def ask_fastener(turn: Turn) -> None:
    """Name the fastener to be tightened now."""
    at = turn.state.awaiting
    assert isinstance(at, Tightening)
    step = tightening(turn)
    label = order(step, at.pass_index)[at.turn]
    by = turn_in(step, at.pass_index)
    if by is not None and turned.done_in(turn, at.pass_index, label):
        turn.say(done_before(stage_at(step, at.pass_index)), tone="caution", label=label)
    angle = "" if by is None else turn.context.language.say_amount(by)
    stage = stage_at(step, at.pass_index)
    match work_of(stage):
        case "torque":
            key = "fastener" if stage.turn is None else "fastener_turn"
        case "turn":
            key = "fastener_only_turn"
        case "loosen":
            key = "fastener_loosen"
        case "check":
            key = "fastener_check"
        case other:
            assert_never(other)
    turn.say(key, label=label, angle=angle)


def done_before(stage: Stage) -> str:
    """The caution at a fastener that was said to be done in this stage before."""
    return "turned_before" if stage.loosen is None else "loosened_before"


def tightened(turn: Turn, at: Tightening, moved: bool = False) -> None:
    """The present fastener is done; on to the next one, the next pass or the review."""
    mark_done(turn, at.pass_index, at.turn, moved=moved)
    index, place = next_place(turn)
    if index == at.pass_index:
        turn.go(Tightening(index, place))
        ask_fastener(turn)
    else:
        pass_ended(turn, at.pass_index)


def mark_done(
    turn: Turn, pass_index: int, place: int, moved: bool = False, together: bool = False
) -> None:
    """Record a fastener that is done in its pass."""
    step = tightening(turn)
    stage = stage_at(step, pass_index)
    label = order(step, pass_index)[place]
    torque = pass_torque(step, wrench(turn), pass_index)
    given = at_fastener(step, wrench(turn), pass_index)
    turn.record(
        FastenerTightened(
            step=step.id,
            pass_number=pass_index + 1,
            fastener=label,
            torque=torque,
            at_fastener=given,
            turn=turn_in(step, pass_index),
            loosened=stage.loosen is not None,
            moved=moved if stage.check is not None else None,
            together=together,
        )
    )
    done = Tightened(pass_index, label, torque, given, moved)
    turn.put(tightened=(*turn.state.tightened, done))
    turned.note(turn, pass_index, label)


def pass_ended(turn: Turn, pass_index: int) -> None:
    """All fasteners of a pass are done: check once more where one moved; else go on."""
    step = tightening(turn)
    standing = turn.state.tightened
    if moved := moved_in_pass(turn):
        turn.record(CheckRepeated(step=step.id, pass_number=pass_index + 1, moved=moved))
        turn.put(tightened=standing[: -len(step.fasteners)])
        turn.say("check_again", tone="caution", labels=", ".join(moved))
        passes.announce(turn)
    elif all_done(turn):
        begin_review(turn)
    else:
        turn.show("pass_done", number=pass_index + 1)
        passes.announce(turn)


def named_fastener(turn: Turn, at: Tightening, label: str) -> None:
    """A fastener was named: say whether it is the one whose turn it is."""
    due = order(tightening(turn), at.pass_index)[at.turn]
    turn.say("fastener_right" if label == due else "fastener_not_due", said=label, due=due)
