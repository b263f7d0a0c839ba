"""The gauge in hand: the bench's own for the one called for, or the one that took its place."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from assistant.dialogue.edition import OWN_LENGTHS
from assistant.dialogue.state import State
from assistant.procedure.listed import BenchWrench, Gauge
from assistant.procedure.models import Procedure
from assistant.quantities.amount import Amount, Indication, in_tool_unit
from assistant.quantities.bench import TORQUE_TOOLS
from assistant.quantities.intervals import ring_does_not_go, ring_goes
from assistant.quantities.tools import BenchTool, usable_low
from assistant.quantities.uncertainty import Budget, from_mpe, from_resolution
from assistant.quantities.units import same_dimension


def tool_in_hand(state: State, gauge_id: str) -> BenchTool | None:
    """The bench's tool that is used where the procedure calls for ``gauge_id``.

    None without an inventory, and where the bench has neither that tool nor another for it.
    """
    if state.bench is None:
        return None
    wanted = state.in_hand.get(gauge_id, gauge_id)
    return next((t for t in state.bench.tools if t.id == wanted), None)


def gauge_in_hand(procedure: Procedure, state: State, gauge_id: str) -> Gauge:
    """The gauge called for as it really is: name, unit, graduation, range, members, uncertainty.

    Its ``id`` stays that of the procedure. Where no tool of the bench stands for it, it is the
    one that the procedure describes.
    """
    gauge = procedure.gauge(gauge_id)
    own = tool_in_hand(state, gauge_id)
    if own is None or own.kind != gauge.kind or not same_dimension(own.unit, gauge.unit):
        return gauge
    return gauge.model_copy(
        update={
            "name": own.name,
            "unit": own.unit,
            "resolution": own.resolution,
            "lower": own.lower,
            "upper": own.upper,
            "members": own.blades() or gauge.members,
            "uncertainty": tool_uncertainty(own, gauge),
        }
    )


def wrench_in_hand(procedure: Procedure, state: State, tool_id: str) -> Gauge:
    """The wrench called for as it really is: the bench's own name, unit, marks and range for it.

    Without an inventory, or where that has no wrench for it, it is the one the procedure describes.
    """
    gauge = procedure.gauge(tool_id)
    own = tool_in_hand(state, tool_id)
    return gauge if own is None or own.kind not in TORQUE_TOOLS else wrench_as(state, gauge, own)


def wrench_as(state: State, gauge: Gauge, own: BenchTool) -> Gauge:
    """The wrench called for as the bench's ``own`` one is, used from its usable range on.

    Another than the one called for is of its own length, which may not be known.
    """
    called_for = own.id == gauge.id
    found = gauge.model_copy(
        update={
            "name": own.name,
            "unit": own.unit,
            "resolution": own.resolution,
            "lower": usable_low(own) or (gauge.lower if called_for else None),
            "upper": own.upper or (gauge.upper if called_for else None),
        }
    )
    if state.edition < OWN_LENGTHS or (called_for and own.length is None):
        return found
    return BenchWrench.model_construct(**{**dict(found), "length": own.length})


def spoken_name(procedure: Procedure, state: State, gauge: Gauge) -> str:
    """The name of a gauge in hand for the ear: up to its comma, where that tells it from others.

    What comes after the comma, mostly a range, is for the eye.
    """
    short = gauge.name.partition(",")[0].strip()
    others = [g.name for g in procedure.gauges if g.id != gauge.id]
    others += [t.name for t in (state.bench.tools if state.bench else ()) if t.name != gauge.name]
    alike = any(other.partition(",")[0].strip() == short for other in others)
    return gauge.name if alike else short


def only_wrench(procedure: Procedure, state: State, gauge: Gauge) -> bool:
    """Whether ``gauge``, the wrench in hand, is the only one that may be meant by "the wrench".

    Or the only driver, of a driver.
    """
    alike = {g.name for g in procedure.gauges if g.kind == gauge.kind}
    if state.bench is not None:
        alike |= {t.name for t in state.bench.tools if t.kind == gauge.kind}
    return alike <= {gauge.name}


def as_gauged(gauge: Gauge, heard: Indication) -> Indication:
    """What "goes" and "does not go" mean with a gauge.

    A blade or plug that goes shows its size or more; a ring that goes shows a shaft of its size
    or less.
    """
    if gauge.kind != "ring_gauge":
        return heard
    if heard.relation == "ge":
        return ring_goes(heard.amount)
    return ring_does_not_go(heard.amount) if heard.relation == "lt" else heard


def in_gauge_unit(gauge: Gauge, heard: Indication) -> Indication:
    """What was said in another unit, exactly in the gauge's own; it keeps what was said.

    A whole number of graduations is stated to the graduation. Other values stay as they were said
    where they are no decimal in the gauge's unit.
    """
    said, unit = heard.amount, gauge.unit
    if said.unit == unit:
        return heard
    amount, mark = said.to(unit), gauge.resolution.difference_to(unit)
    if (amount.value / mark).denominator == 1:
        amount = Amount(amount.value, unit, mark)
    else:
        amount = in_tool_unit(said, unit)
    return heard if amount.unit != unit else replace(heard, amount=amount, said=said)


def tool_uncertainty(own: BenchTool, gauge: Gauge) -> Amount | None:
    """Expanded uncertainty (k = 2) of a reading by the bench's ``own`` tool; None when unknown.

    Its certificate, or else a budget of its maximum permissible error and its resolution (GUM
    4.3.7, both rectangular). What the procedure states of the gauge it calls for holds for the
    tool of that very id alone, and only while that reads to the same graduation.
    """
    if own.uncertainty is not None:
        return own.uncertainty
    if own.error is not None:
        return Budget((from_mpe(own.error), from_resolution(own.resolution)), own.unit).expanded()
    same = own.id == gauge.id and _step(own.resolution, own.unit) == _step(
        gauge.resolution, own.unit
    )
    return gauge.uncertainty if same else None


def _step(resolution: Amount, unit: str) -> Fraction:
    return resolution.difference_to(unit)
