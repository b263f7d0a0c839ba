"""A pass begins: what to set is announced, and acknowledged before the wrench turns."""

from __future__ import annotations

from assistant.dialogue.facts import Acknowledged
from assistant.dialogue.kinds.tightening import announcing, turned
from assistant.dialogue.kinds.tightening.facts import TorqueAnnounced, TurnAnnounced
from assistant.dialogue.kinds.tightening.progress import all_done, next_place
from assistant.dialogue.kinds.tightening.reviewing import begin_review
from assistant.dialogue.kinds.tightening.states import Loosening, TorqueAcknowledge
from assistant.dialogue.kinds.tightening.wrench_setting import (
    assumed,
    at_fastener,
    order,
    setting,
    stage_at,
    tightening,
    turn_in,
    up_to,
    wanted,
    wrench,
)
from assistant.dialogue.states import Blocked
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.tightening.plan import held_at
from assistant.procedure.kinds.tightening.stages import target_of
from assistant.quantities.amount import Amount
from assistant.quantities.wrench import TighteningError


def begin(turn: Turn) -> None:
    """Begin with the first fastener that is not tightened; nothing is done twice.

    A step that was gone back to may have fasteners that were turned by angle: a bolt turned again
    is stretched too far, so those are loosened first.
    """
    if turned.on(turn) and not turn.state.tightened:
        turn.go(Loosening())
        turned.say_loosen(turn)
    elif all_done(turn):
        begin_review(turn)
    else:
        announce(turn)


def loosened(turn: Turn) -> None:
    """The fasteners that were turned are loose; the step begins."""
    turn.record(Acknowledged(step=turn.step.id, what=turned.loosen_words(turn), of="loosening"))
    turned.forget(turn)
    announce(turn)


def announce(turn: Turn) -> None:
    """Announce the pass that comes next; the wrench does not turn before it is acknowledged."""
    index, place = next_place(turn)
    now = setting(turn, index)
    _record_announced(turn, index, now.torque)
    turn.put(announced=now)
    at = TorqueAcknowledge(index, place, by_angle=now.torque is None)
    turn.go(at)
    say_announcement(turn, at)


def _record_announced(turn: Turn, index: int, torque: Amount | None) -> None:
    step, tool = tightening(turn), wrench(turn)
    stage, by = stage_at(step, index), turn_in(step, index)
    if torque is None:
        assert by is not None
        turn.record(
            TurnAnnounced(
                step=step.id,
                pass_number=index + 1,
                turn=by,
                loosen=stage.loosen is not None,
                left_hand=step.left_hand,
            )
        )
        return
    turn.record(
        TorqueAnnounced(
            step=step.id,
            pass_number=index + 1,
            torque=torque,
            target=target_of(step),
            at_fastener=at_fastener(step, tool, index),
            wanted=wanted(step, tool, index),
            assumed=assumed(step, tool, index),
            thread=step.thread,
            check=stage.check is not None,
            minimum=stage.minimum or stage.up_to is not None,
            up_to=up_to(step, tool, index),
            left_hand=step.left_hand,
            length=held_at(step, tool),
        )
    )


def say_announcement(turn: Turn, at: TorqueAcknowledge) -> None:
    """Say what is to be set, and what was done in this pass already and is to be left alone."""
    done = order(tightening(turn), at.pass_index)[: at.turn]
    if done:
        turn.say("leave_done", tone="caution", labels=", ".join(done))
    announcing.say(turn, at.pass_index)
    announcing.ask(turn, at.pass_index)


def set_otherwise(turn: Turn) -> bool:
    """Whether the wrench in hand is not set as announced, as after another bench was taken."""
    return turn.state.announced != setting(turn, next_place(turn)[0])


def other_bench(turn: Turn) -> None:
    """Another bench was taken in mid-pass: its wrench has to be announced before it is used."""
    try:
        otherwise = set_otherwise(turn)
    except TighteningError:
        turn.go(Blocked())  # it cannot give the torque; why is said when the work goes on
        return
    if otherwise:
        turn.put(announced=None)
        index, place = next_place(turn)
        turn.go(TorqueAcknowledge(index, place, setting(turn, index).torque is None))
