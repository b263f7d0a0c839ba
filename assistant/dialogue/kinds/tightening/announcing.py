"""What is announced before a wrench turns: setting with its digits, its parts, the threads."""

from __future__ import annotations

from assistant.dialogue.effects import TORQUE
from assistant.dialogue.gauging import only_wrench, spoken_name
from assistant.dialogue.kinds.tightening.wrench_setting import (
    assumed,
    at_fastener,
    order,
    pass_torque,
    stage_at,
    tightening,
    turn_in,
    up_to,
    wanted,
    wrench,
)
from assistant.dialogue.labels import listed
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.tightening import Stage, TighteningStep
from assistant.procedure.kinds.tightening.locker import locker_of
from assistant.procedure.kinds.tightening.plan import held_at
from assistant.procedure.kinds.tightening.stages import last_torque, pattern_at, stages_of, work_of
from assistant.procedure.listed import Gauge
from assistant.quantities.amount import Amount


def announcement(turn: Turn, pass_index: int) -> str:
    """The announcement of a pass in words: torque with digits, what is in it, thread condition.

    A pass that only turns has no torque in it.
    """
    step = tightening(turn)
    stage = stage_at(step, pass_index)
    torque = pass_torque(step, wrench(turn), pass_index)
    if torque is None:
        return _turn_announcement(turn, step, pass_index)
    key = "torque_announce" if len(stages_of(step)) == 1 else "torque_announce_pass"
    if work_of(stage) == "check":
        key = "torque_check"
    return turn.words(
        key,
        number=pass_index + 1,
        total=len(stages_of(step)),
        set=_set(turn, wrench(turn), torque),
        wanted=_wanted(turn, step, pass_index),
        thread=_thread(turn, step),
        angle=_then_turn(turn, stage),
        allowed=_allowed(turn, step, pass_index),
        hand=_hand(turn, step, stage),
        pattern=_own_pattern(turn, step, pass_index),
    )


def say(turn: Turn, pass_index: int, replaces: bool = True) -> None:
    """Say the announcement of a pass; none that was cut short before is owed any more.

    Where it only answers a question it ``replaces`` nothing: which fastener is to be done again
    may still be owed with its torque.
    """
    if replaces:
        turn.not_owed(TORQUE)
    turn.say_text(announcement(turn, pass_index), tone="caution", about=TORQUE)


def _turn_announcement(turn: Turn, step: TighteningStep, pass_index: int) -> str:
    stage = stage_at(step, pass_index)
    angle = turn_in(step, pass_index)
    assert angle is not None
    return turn.words(
        "loosen_announce_pass" if stage.loosen is not None else "turn_announce_pass",
        number=pass_index + 1,
        total=len(stages_of(step)),
        angle=turn.context.language.say_amount(angle, digits=True),
        hand=_hand(turn, step, stage),
        pattern=_own_pattern(turn, step, pass_index),
    )


def _then_turn(turn: Turn, stage: Stage) -> str:
    if stage.turn is None:
        return ""
    return turn.words("then_angle", angle=turn.context.language.say_amount(stage.turn))


def _hand(turn: Turn, step: TighteningStep, stage: Stage) -> str:
    """Which way a left-hand thread turns; a right-hand one goes without saying."""
    if not step.left_hand:
        return ""
    return turn.words("left_hand_loosen" if stage.loosen is not None else "left_hand")


def _own_pattern(turn: Turn, step: TighteningStep, pass_index: int) -> str:
    """The order of a pass, where it is another than in the pass before."""
    before = pattern_at(step, max(0, pass_index - 1))
    pattern = pattern_at(step, pass_index)
    if pattern == before:
        return ""
    labels = listed(order(step, pass_index))
    return turn.words("pattern", pattern=turn.words("pattern_" + pattern), labels=labels)


def ask(turn: Turn, pass_index: int) -> None:
    """Say how a pass is acknowledged, and what may be said of one that moved, or of all at once."""
    step = tightening(turn)
    if stage_at(step, pass_index).check is not None:
        turn.ask("may_say_moved")
    if step.whole_pass:
        turn.ask("may_say_pass_done")
    by_angle = pass_torque(step, wrench(turn), pass_index) is None
    turn.ask("turn_ask" if by_angle else "torque_ask")


def _set(turn: Turn, tool: Gauge, torque: Amount) -> str:
    """What to set, the number first; on which wrench, where there is more than one."""
    procedure, state = turn.context.procedure, turn.state
    said = turn.context.language.say_amount(torque, digits=True)
    if only_wrench(procedure, state, tool):
        return turn.words("torque_set", torque=said, what=turn.words("set_" + tool.kind))
    return turn.words("torque_set_on", torque=said, tool=spoken_name(procedure, state, tool))


def _wanted(turn: Turn, step: TighteningStep, pass_index: int) -> str:
    """The target in words where the setting is another, and the tolerance taken for it."""
    say = turn.context.language.say_amount
    words: list[str] = []
    tool = wrench(turn)
    asked = wanted(step, tool, pass_index)
    if asked is not None and not _said_with_drag(step, tool, pass_index, asked):
        last = pass_index == last_torque(step)
        words.append(
            turn.words("torque_wanted" if last else "torque_wanted_pass", torque=say(asked))
        )
    taken = assumed(step, tool, pass_index)
    if taken is not None:
        words.append(turn.words("torque_assumed", tolerance=say(taken)))
    return " ".join(words)


def _said_with_drag(step: TighteningStep, tool: Gauge, pass_index: int, asked: Amount) -> bool:
    """Whether the target is said anyway, as what the drag of the nut is added to."""
    real = at_fastener(step, tool, pass_index)
    return (
        step.prevailing is not None
        and real is not None
        and (real.value, real.unit) == (asked.value, asked.unit)
    )


def _allowed(turn: Turn, step: TighteningStep, pass_index: int) -> str:
    """What the setting is made of, in words: an adapter that changes it, the drag of a nut.

    And whether it is the least, and how far it may go.
    """
    say = turn.context.language.say_amount
    words = [_made_of(turn, step, pass_index)]
    most = up_to(step, wrench(turn), pass_index)
    if most is not None:
        words.append(turn.words("torque_up_to", torque=say(most, digits=True)))
    elif stage_at(step, pass_index).minimum:
        words.append(turn.words("torque_least"))
    return " ".join(words)


def _made_of(turn: Turn, step: TighteningStep, pass_index: int) -> str:
    say = turn.context.language.say_amount
    real = at_fastener(step, wrench(turn), pass_index)
    mark = pass_torque(step, wrench(turn), pass_index)
    if real is None or mark is None:
        return ""
    length = held_at(step, wrench(turn))
    drag = step.prevailing
    if length is not None and step.adapter is not None:
        key = "adapter" if drag is None else "adapter_and_drag"
        return turn.words(
            key,
            angle=say(step.adapter.angle),
            held=say(length),
            torque=say(real),
            drag=drag and say(drag),
        )
    if drag is None:
        return ""
    number = turn.context.language.say_number
    if mark.unit == real.unit == drag.unit:
        return turn.words(
            "drag_in_it",
            torque=number(real.value, real.decimals()),
            drag=number(drag.value, drag.decimals()),
        )
    return turn.words("drag_in_it", torque=say(real), drag=say(drag))


def _thread(turn: Turn, step: TighteningStep) -> str:
    """The state of the threads; a thread locker with the time in which it may be worked."""
    locker = locker_of(turn.context.procedure, step)
    if locker is None:
        return turn.words("thread_" + step.thread, lubricant=_lubricant(turn, step))
    words = [turn.words("thread_locker", locker=locker.name)]
    if locker.open_time is not None:
        say = turn.context.language.say_amount
        words.append(turn.words("locker_open", time=say(locker.open_time)))
    return " ".join(words)


def _lubricant(turn: Turn, step: TighteningStep) -> str:
    for consumable in turn.context.procedure.consumables:
        if consumable.id == step.lubricant:
            return consumable.name
    return ""
