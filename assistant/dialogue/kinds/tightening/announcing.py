"""What is announced before a wrench turns: setting with its digits, its parts, the threads."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.gauging import only_wrench, spoken_name, wrench_in_hand
from assistant.dialogue.state import WrenchSetting
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.kinds.tightening.plan import adapter_of, passes_on, share_of, tolerance_of
from assistant.procedure.listed import Gauge
from assistant.quantities.amount import Amount
from assistant.quantities.patterns import pattern_order


def tightening(turn: Turn) -> TighteningStep:
    """The open step, which is a tightening here."""
    step = turn.step
    assert isinstance(step, TighteningStep)
    return step


def wrench(turn: Turn) -> Gauge:
    """The wrench of the open step, as the bench has it."""
    return wrench_in_hand(turn.context.procedure, turn.state, tightening(turn).tool)


def order(step: TighteningStep) -> tuple[str, ...]:
    """The fastener labels in the order of the pattern."""
    return tuple(step.fasteners[i] for i in pattern_order(step.pattern, len(step.fasteners)))


def by_angle(step: TighteningStep, pass_index: int) -> bool:
    """Whether the fasteners are turned by an angle in this pass, which is the last one then."""
    return step.angle is not None and pass_index == len(step.passes) - 1


def pass_torque(step: TighteningStep, tool: Gauge, pass_index: int) -> Amount:
    """What to set on the wrench for a pass: in the wrench's unit, on a graduation."""
    setting = passes_on(step, tool)[pass_index].setting.setting
    return Amount(setting.value, setting.unit)


def setting(turn: Turn, pass_index: int) -> WrenchSetting:
    """What the wrench on the bench is to be set to for a pass of the open step."""
    tool = wrench(turn)
    return WrenchSetting(pass_index, tool.name, pass_torque(tightening(turn), tool, pass_index))


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


def wanted(step: TighteningStep, tool: Gauge, pass_index: int) -> Amount | None:
    """What a pass asks for, where neither the mark set nor what the fastener gets is just that."""
    asked = share_of(step, pass_index)
    mark = pass_torque(step, tool, pass_index)
    said = at_fastener(step, tool, pass_index) if step.adapter is not None else mark
    return None if said == asked else asked


def assumed(step: TighteningStep, tool: Gauge, pass_index: int) -> Amount | None:
    """The tolerance taken to accept a mark beside the target, where the procedure gives none."""
    if step.tolerance is not None or pass_index < len(step.passes) - 1:
        return None
    return tolerance_of(step) if passes_on(step, tool)[pass_index].setting.off.value else None


def announcement(turn: Turn, pass_index: int, ask: bool = True) -> str:
    """The announcement of a pass in words: torque with digits, what is in it, thread condition.

    ``ask`` adds the words that acknowledge it, which are understood before the pass only.
    """
    step = tightening(turn)
    tool = wrench(turn)
    thread = turn.words("thread_" + step.thread, lubricant=_lubricant(turn, step))
    angle = (
        turn.words("then_angle", angle=turn.context.language.say_amount(step.angle))
        if step.angle is not None and by_angle(step, pass_index)
        else ""
    )
    return turn.words(
        "torque_announce" if len(step.passes) == 1 else "torque_announce_pass",
        number=pass_index + 1,
        total=len(step.passes),
        set=_set(turn, tool, pass_torque(step, tool, pass_index)),
        wanted=_wanted(turn, step, tool, pass_index),
        thread=thread,
        angle=angle,
        allowed=_allowed(turn, step, pass_index),
        ask=turn.words("torque_ask") if ask else "",
    )


def _set(turn: Turn, tool: Gauge, torque: Amount) -> str:
    """What to set, the number first; on which wrench, where there is more than one."""
    procedure, state = turn.context.procedure, turn.state
    said = turn.context.language.say_amount(torque, digits=True)
    if only_wrench(procedure, state, tool):
        return turn.words("torque_set", torque=said)
    return turn.words("torque_set_on", torque=said, tool=spoken_name(procedure, state, tool))


def _wanted(turn: Turn, step: TighteningStep, tool: Gauge, pass_index: int) -> str:
    """The target in words where the setting is another, and the tolerance taken for it."""
    say = turn.context.language.say_amount
    words: list[str] = []
    asked = wanted(step, tool, pass_index)
    if asked is not None and not _said_with_drag(step, tool, pass_index, asked):
        last = pass_index == len(step.passes) - 1
        words.append(
            turn.words("torque_wanted" if last else "torque_wanted_pass", torque=say(asked))
        )
    taken = assumed(step, tool, pass_index)
    if taken is not None:
        words.append(turn.words("torque_assumed", tolerance=say(taken)))
    return " ".join(words)


def _said_with_drag(step: TighteningStep, tool: Gauge, pass_index: int, asked: Amount) -> bool:
    """Whether the target is said anyway, as what the drag of the nut is added to."""
    return step.prevailing is not None and at_fastener(step, tool, pass_index) == asked


def _allowed(turn: Turn, step: TighteningStep, pass_index: int) -> str:
    """What the setting is made of, in words: an adapter that changes it, the drag of a nut."""
    say = turn.context.language.say_amount
    real = at_fastener(step, wrench(turn), pass_index)
    if real is None:
        return ""
    fitted = adapter_of(step)
    changed = fitted is not None and fitted.direction != "same"
    drag = step.prevailing
    if changed and step.adapter is not None:
        key = "adapter" if drag is None else "adapter_and_drag"
        return turn.words(
            key, angle=say(step.adapter.angle), torque=say(real), drag=drag and say(drag)
        )
    if drag is None:
        return ""
    mark = pass_torque(step, wrench(turn), pass_index)
    number = turn.context.language.say_number
    if mark.unit == real.unit == drag.unit:
        return turn.words(
            "drag_in_it",
            torque=number(real.value, real.decimals()),
            drag=number(drag.value, drag.decimals()),
        )
    return turn.words("drag_in_it", torque=say(real), drag=say(drag))


def _lubricant(turn: Turn, step: TighteningStep) -> str:
    for consumable in turn.context.procedure.consumables:
        if consumable.id == step.lubricant:
            return consumable.name
    return ""
