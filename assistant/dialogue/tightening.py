"""Tightening steps: the torque announced and acknowledged, then fastener by fastener."""

from __future__ import annotations

from fractions import Fraction
from typing import assert_never

from assistant.dialogue.facts import (
    Acknowledged,
    FastenerReopened,
    FastenerTightened,
    TorqueAnnounced,
)
from assistant.dialogue.state import Blocked, Review, Tightening, TorqueAcknowledge
from assistant.dialogue.tooling import wrench_in_hand
from assistant.dialogue.turn import Turn
from assistant.procedure.models import Gauge, TighteningStep
from assistant.procedure.wrench_plan import adapter_of, passes_on
from assistant.quantities.amount import Amount
from assistant.quantities.patterns import pattern_order
from assistant.quantities.wrench import TighteningError


def tightening(turn: Turn) -> TighteningStep:
    """The open step, which is a tightening here."""
    step = turn.step
    assert isinstance(step, TighteningStep)
    return step


def wrench(turn: Turn) -> Gauge:
    """The wrench of the open step, as it lies on the bench."""
    return wrench_in_hand(turn.context.procedure, turn.state.bench, tightening(turn).tool)


def order(step: TighteningStep) -> tuple[str, ...]:
    """The fastener labels in the order of the pattern."""
    return tuple(step.fasteners[i] for i in pattern_order(step.pattern, len(step.fasteners)))


def pass_torque(step: TighteningStep, tool: Gauge, pass_index: int) -> Amount:
    """What to set on the wrench for a pass: in the wrench's unit, on a graduation."""
    setting = passes_on(step, tool)[pass_index].setting.setting
    return Amount(setting.value, setting.unit)


def at_fastener(step: TighteningStep, tool: Gauge, pass_index: int) -> Amount | None:
    """What the fastener gets without its drag by the mark set, where that is not the mark itself.

    None without adapter and drag. In the target's unit, to a tenth of the wrench's graduation.
    """
    if step.adapter is None and step.prevailing is None:
        return None
    mark = passes_on(step, tool)[pass_index].setting.setting
    fitted = adapter_of(step)
    given = mark.value if fitted is None else mark.value / fitted.factor
    if step.prevailing is not None:
        given -= step.prevailing.to(mark.unit).value
    unit = step.target.unit
    finest = Amount(tool.resolution.difference_to(mark.unit), mark.unit).difference_to(unit) / 10
    places = 0
    while Fraction(1, 10**places) > finest and places < 6:
        places += 1
    exact = Amount(given, mark.unit).to(unit).value
    return Amount(Fraction(round(exact * 10**places), 10**places), unit)


def announce(turn: Turn, pass_index: int) -> None:
    """Announce the torque of a pass; the wrench does not turn before it is acknowledged."""
    await_acknowledgement(turn, pass_index)
    turn.say_text(announcement(turn, pass_index), tone="caution")


def await_acknowledgement(turn: Turn, pass_index: int) -> None:
    """Record what is (or is about to be) announced, and await that it is understood."""
    step = tightening(turn)
    torque = pass_torque(step, wrench(turn), pass_index)
    turn.record(
        TorqueAnnounced(
            step=step.id,
            pass_number=pass_index + 1,
            torque=torque,
            target=step.target,
            at_fastener=at_fastener(step, wrench(turn), pass_index),
            thread=step.thread,
        )
    )
    turn.go(TorqueAcknowledge(pass_index))


def announcement(turn: Turn, pass_index: int, ask: bool = True) -> str:
    """The announcement of a pass in words: tool, torque with digits, thread condition.

    ``ask`` adds the words that acknowledge it, which are understood before the pass only.
    """
    step = tightening(turn)
    tool = wrench(turn)
    torque = turn.context.language.say_amount(pass_torque(step, tool, pass_index), digits=True)
    last = pass_index == len(step.passes) - 1
    thread = turn.words("thread_" + step.thread, lubricant=_lubricant(turn, step))
    angle = (
        turn.words("then_angle", angle=turn.context.language.say_amount(step.angle))
        if last and step.angle is not None
        else ""
    )
    return turn.words(
        "torque_announce" if len(step.passes) == 1 else "torque_announce_pass",
        number=pass_index + 1,
        total=len(step.passes),
        tool=tool.name,
        torque=torque,
        thread=thread,
        angle=angle,
        allowed=_allowed(turn, step, pass_index),
        ask=turn.words("torque_ask") if ask else "",
    )


def _allowed(turn: Turn, step: TighteningStep, pass_index: int) -> str:
    """What the setting allows for, in words: adapter with its direction, prevailing torque."""
    words: list[str] = []
    say = turn.context.language.say_amount
    real = at_fastener(step, wrench(turn), pass_index)
    fitted = adapter_of(step)
    if fitted is not None and step.adapter is not None and real is not None:
        words.append(
            turn.words(
                "adapter_" + fitted.direction, angle=say(step.adapter.angle), torque=say(real)
            )
        )
    if step.prevailing is not None:
        words.append(turn.words("prevailing", torque=say(step.prevailing)))
    return " ".join(words)


def _lubricant(turn: Turn, step: TighteningStep) -> str:
    for consumable in turn.context.procedure.consumables:
        if consumable.id == step.lubricant:
            return consumable.name
    return ""


def acknowledge_torque(turn: Turn, moment: TorqueAcknowledge) -> None:
    """The torque was understood: the pass opens at its first fastener."""
    turn.record(Acknowledged(step=turn.step.id, what=announcement(turn, moment.pass_index)))
    turn.go(Tightening(moment.pass_index, 0))
    ask_fastener(turn)


def ask_fastener(turn: Turn) -> None:
    """Name the fastener to be tightened now."""
    moment = turn.state.moment
    assert isinstance(moment, Tightening)
    step = tightening(turn)
    label = order(step)[moment.turn]
    if step.angle is not None and moment.pass_index == len(step.passes) - 1:
        angle = turn.context.language.say_amount(step.angle)
        turn.say("fastener_turn", label=label, angle=angle)
    else:
        turn.say("fastener", label=label)


def tightened(turn: Turn, moment: Tightening) -> None:
    """The present fastener is done; on to the next one, the next pass or the review."""
    step = tightening(turn)
    labels = order(step)
    torque = pass_torque(step, wrench(turn), moment.pass_index)
    given = at_fastener(step, wrench(turn), moment.pass_index)
    turn.record(
        FastenerTightened(
            step=step.id,
            pass_number=moment.pass_index + 1,
            fastener=labels[moment.turn],
            torque=torque,
            at_fastener=given,
        )
    )
    if moment.turn + 1 < len(labels):
        turn.go(Tightening(moment.pass_index, moment.turn + 1))
        ask_fastener(turn)
    elif moment.pass_index + 1 < len(step.passes):
        turn.say("pass_done", number=moment.pass_index + 1)
        announce(turn, moment.pass_index + 1)
    else:
        turn.go(Review(torque, given))
        say_review(turn)


def say_review(turn: Turn) -> None:
    """Say to what torque everything was tightened, and ask to go on."""
    moment = turn.state.moment
    assert isinstance(moment, Review)
    torque = moment.at_fastener or moment.torque
    assert torque is not None
    turn.say(
        "review_tightening",
        count=len(tightening(turn).fasteners),
        torque=turn.context.language.say_amount(torque),
    )


def missed(turn: Turn, moment: Review | Tightening | TorqueAcknowledge) -> None:
    """The fastener before the present one was not done: go back to it."""
    step = tightening(turn)
    labels = order(step)
    match moment:
        case Tightening(pass_index=p, turn=0):
            if p == 0:
                turn.say("nothing_missed")
                ask_fastener(turn)
                return
            back = Tightening(p - 1, len(labels) - 1)
        case Tightening(pass_index=p, turn=t):
            back = Tightening(p, t - 1)
        case TorqueAcknowledge(pass_index=0):
            turn.say("nothing_missed")
            return
        case TorqueAcknowledge(pass_index=p):
            back = Tightening(p - 1, len(labels) - 1)
        case Review():
            back = Tightening(len(step.passes) - 1, len(labels) - 1)
        case _:
            assert_never(moment)
    label = labels[back.turn]
    turn.record(FastenerReopened(step=step.id, pass_number=back.pass_index + 1, fastener=label))
    try:
        torque = pass_torque(step, wrench(turn), back.pass_index)
    except TighteningError as fault:  # the wrench of another bench than did the rest
        turn.go(Blocked())
        turn.say("tool_stops", tone="caution", why=str(fault))
        return
    if isinstance(moment, Review) and moment.torque not in (None, torque):
        announce(turn, back.pass_index)  # set otherwise than for the rest: the pass begins anew
        return
    turn.go(back)
    turn.say(
        "fastener_again",
        tone="caution",
        label=label,
        torque=turn.context.language.say_amount(torque, digits=True),
    )
    if step.angle is not None and back.pass_index == len(step.passes) - 1:
        turn.say("then_angle", tone="caution", angle=turn.context.language.say_amount(step.angle))


def named_fastener(turn: Turn, moment: Tightening, label: str) -> None:
    """A fastener was named: say whether it is the one whose turn it is."""
    due = order(tightening(turn))[moment.turn]
    turn.say("fastener_right" if label == due else "fastener_not_due", said=label, due=due)
