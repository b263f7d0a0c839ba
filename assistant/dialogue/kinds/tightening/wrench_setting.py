"""What the wrench on the bench is set to for a pass, and what the fastener gets by that."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.gauging import wrench_in_hand
from assistant.dialogue.state import WrenchSetting
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.tightening import Stage, TighteningStep
from assistant.procedure.kinds.tightening.plan import (
    adapter_of,
    held_at,
    most_on,
    settings_on,
    tolerance_of,
)
from assistant.procedure.kinds.tightening.stages import last_torque, order_at, stages_of
from assistant.procedure.listed import Gauge
from assistant.quantities.amount import Amount


def tightening(turn: Turn) -> TighteningStep:
    """The open step, which is a tightening here."""
    step = turn.step
    assert isinstance(step, TighteningStep)
    return step


def wrench(turn: Turn) -> Gauge:
    """The wrench of the open step, as the bench has it."""
    return wrench_in_hand(turn.context.procedure, turn.state, tightening(turn).tool)


def order(step: TighteningStep, pass_index: int = 0) -> tuple[str, ...]:
    """The fastener labels in the order of a pass."""
    return order_at(step, pass_index)


def stage_at(step: TighteningStep, pass_index: int) -> Stage:
    """What is done in a pass."""
    return stages_of(step)[pass_index]


def turn_in(step: TighteningStep, pass_index: int) -> Amount | None:
    """By how much each fastener is turned on, or back, in a pass."""
    stage = stage_at(step, pass_index)
    return stage.loosen if stage.turn is None else stage.turn


def pass_torque(step: TighteningStep, tool: Gauge, pass_index: int) -> Amount | None:
    """What to set on the wrench for a pass: in the wrench's unit, on a graduation.

    None in a pass that only turns.
    """
    setting = settings_on(step, tool)[pass_index]
    return None if setting is None else Amount(setting.setting.value, setting.setting.unit)


def up_to(step: TighteningStep, tool: Gauge, pass_index: int) -> Amount | None:
    """The mark that the torque of a pass must not go past; None where none is given."""
    return most_on(stage_at(step, pass_index), settings_on(step, tool)[pass_index], tool)


def setting(turn: Turn, pass_index: int) -> WrenchSetting:
    """What the wrench on the bench is to be set to for a pass of the open step."""
    tool = wrench(turn)
    torque = pass_torque(tightening(turn), tool, pass_index)
    if torque is None:
        return WrenchSetting(pass_index, "", None)
    return WrenchSetting(pass_index, tool.name, torque, held_at(tightening(turn), tool))


def at_fastener(step: TighteningStep, tool: Gauge, pass_index: int) -> Amount | None:
    """What the fastener gets without its drag by the mark set, where that is not the mark itself.

    None without adapter and drag. In the target's unit, to a tenth of the wrench's graduation.
    """
    asked = stage_at(step, pass_index).wrench_torque
    if asked is None or (step.adapter is None and step.prevailing is None):
        return None
    mark = pass_torque(step, tool, pass_index)
    assert mark is not None
    fitted = adapter_of(step, tool)
    given = mark.value if fitted is None else mark.value / fitted.factor
    if step.prevailing is not None:
        given -= step.prevailing.to(mark.unit).value
    unit = asked.unit
    finest = Amount(tool.resolution.difference_to(mark.unit), mark.unit).difference_to(unit) / 10
    places = 0
    while Fraction(1, 10**places) > finest and places < 6:
        places += 1
    exact = Amount(given, mark.unit).to(unit).value
    return Amount(Fraction(round(exact * 10**places), 10**places), unit)


def wanted(step: TighteningStep, tool: Gauge, pass_index: int) -> Amount | None:
    """What a pass asks for, where neither the mark set nor what the fastener gets is just that."""
    asked = stage_at(step, pass_index).wrench_torque
    if asked is None:
        return None
    mark = pass_torque(step, tool, pass_index)
    said = at_fastener(step, tool, pass_index) if step.adapter is not None else mark
    assert said is not None
    same = (said.value, said.unit) == (asked.value, asked.unit)
    return None if same else asked


def assumed(step: TighteningStep, tool: Gauge, pass_index: int) -> Amount | None:
    """The tolerance taken to accept a mark beside the target, where the procedure gives none."""
    if step.tolerance is not None or pass_index != last_torque(step):
        return None
    planned = settings_on(step, tool)[pass_index]
    return tolerance_of(step) if planned is not None and planned.off.value else None
