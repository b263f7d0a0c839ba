"""A reading read back: in the words of its gauge, with its verdict and its margin."""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue.context import Context
from assistant.dialogue.effects import about
from assistant.dialogue.gauging import gauge_in_hand, spoken_name
from assistant.dialogue.kinds.measurement.limits_now import with_limits
from assistant.dialogue.kinds.measurement.spoken import signed
from assistant.dialogue.kinds.measurement.tool_limits import limits_for_tool
from assistant.dialogue.kinds.measurement.values import (
    gauge_of,
    guard,
    measurement,
    read_step,
    values_of,
)
from assistant.dialogue.limit_words import limit_words
from assistant.dialogue.state import State, Value
from assistant.dialogue.talk import says_all
from assistant.dialogue.turn import Turn
from assistant.dialogue.value_label import before_value
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.step import GaugedStep
from assistant.quantities.amount import Amount, Indication, in_tool_unit
from assistant.quantities.habit import in_habit
from assistant.quantities.intervals import BladeSet, Evidence, gathered, next_blade, stacked
from assistant.quantities.margin import margin
from assistant.quantities.uncertainty import conformity_probability
from assistant.quantities.units import UNITS


def say_gauge(turn: Turn, place: str, again: bool = False) -> None:
    """Say which gauge to use, its unit where that is not the one called for, and the limits.

    Once it was used in the session its name goes without saying, but not when asked ``again``.
    """
    step = measurement(turn, place)
    gauge, called_for = gauge_of(turn, place), turn.context.procedure.gauge(step.gauge)
    name = spoken_name(turn.context.procedure, turn.state, gauge)
    whole = turn.words("measure", gauge=name, limits=say_limits(turn, step))
    if again or says_all(turn.state.talk):
        turn.say_text(whole)
    else:
        turn.say_as(_gauge_in_short(turn, step, name), "plain", "", whole)
    if gauge.unit != called_for.unit:
        turn.say("gauge_unit", unit=turn.context.language.say_unit(gauge.unit))


def _gauge_in_short(turn: Turn, step: GaugedStep, name: str) -> str:
    """What is not known yet of gauge and limits.

    Where the builder wants the least said, only another gauge than the one used last is named.
    """
    before = [
        s.gauge
        for s in map(turn.context.procedure.step, turn.state.history[:-1])
        if isinstance(s, MeasurementStep)
    ]
    if turn.state.talk == "brief":
        same = bool(before) and before[-1] == step.gauge
        return "" if same else turn.words("measure_brief", gauge=name)
    known = step.gauge in before
    limits = say_limits(turn, step, "_short")
    return limits if known else turn.words("measure_short", gauge=name, limits=limits)


def say_value(turn: Turn, name: str) -> None:
    """Read back the value of position ``name`` with its verdict.

    A value out of limits that was taken back is read back as the one that holds the step.
    """
    step = measurement(turn, name)
    value = values_of(turn).get(name) or turn.state.held[step.id][name]
    unit = gauge_of(turn, name).unit
    single = value.indication.relation == "eq"
    spare, chance = _near_a_limit(turn, name, value)
    (turn.say_short if value.judgement.passes else turn.say)(
        f"readback_{value.judgement.verdict}",
        habit=_in_habit(turn, value.indication, unit) if single else "",
        tone="readback",
        about=about(step.id, name),
        position=_at(turn, name),
        place=_at(turn, name, in_short=True),
        value=_in_words(turn, name, value.indication),
        limits=say_limits(turn, step),
        margin=_margin(turn, name, value),
        spare=spare,
        sure=chance,
    )


def say_undecided(turn: Turn, index: int, evidence: tuple[Indication, ...]) -> None:
    """Read back what the blades tried at a position tell so far, and which to try next."""
    name = read_step(turn).places[index]
    step = measurement(turn, name)
    known = gathered(evidence, evidence[-1].amount.unit)
    assert isinstance(known, Evidence)
    turn.say(
        "reading_undecided",
        tone="readback",
        about=about(step.id, name),
        position=_at(turn, name),
        value=_in_words(turn, name, known.indication() or evidence[-1]),
        next=_try_next(turn, name, known),
    )


def _at(turn: Turn, name: str, in_short: bool = False) -> str:
    """A place before its value."""
    return before_value(turn, read_step(turn).spoken(name), in_short)


def _in_words(turn: Turn, name: str, indication: Indication) -> str:
    return in_words(turn.context, turn.state, measurement(turn, name), indication)


def in_words(context: Context, state: State, step: GaugedStep, indication: Indication) -> str:
    """What the gauge of ``step`` showed, in words, in the gauge's unit where that is a decimal.

    Where it may be below zero its sign is said; where it was converted, what was said follows.
    """
    gauge = gauge_in_hand(context.procedure, state, step.gauge)
    shown = in_tool_unit(indication.amount, gauge.unit)
    language = context.language
    value = language.say_indication(
        indication if indication.relation == "between" else replace(indication, amount=shown)
    )
    if indication.relation == "eq" and shown.value > 0 and _both_ways(context, state, step):
        value = language.prompt("plus_value", value=value)
    if indication.said is None:
        return value
    return language.prompt("converted", value=value, said=language.say_amount(indication.said))


def _both_ways(context: Context, state: State, step: GaugedStep) -> bool:
    """Whether it goes to either side of zero, as a dial does; nobody says plus of a warm shop."""
    return signed(context, state, step) and not UNITS[step.unit].zero


def _try_next(turn: Turn, name: str, known: Evidence) -> str:
    """Which blade to try next, in words; empty when the set has none that would tell."""
    step, gauge = measurement(turn, name), gauge_of(turn, name)
    say = turn.context.language.say_amount
    ring = gauge.kind == "ring_gauge"
    drawn_in = guard(step, gauge)
    one = BladeSet(gauge.members, rings=ring, narrows=gauge.kind == "feeler")
    blades = next_blade(known, step.limits, one, drawn_in)
    if blades is None and gauge.kind == "feeler":  # plugs and rings cannot be put together
        blades = next_blade(known, step.limits, BladeSet(gauge.members, stacked=2), drawn_in)
    if blades is None:
        return turn.words("try_another_way")
    if len(blades) == 1:
        key = {"feeler": "try_blade", "plastic_gauge": "try_bar"}.get(gauge.kind, "try_gauge")
        return turn.words(key, blade=say(blades[0]))
    together = turn.words("and").join(say(b) for b in blades)
    return turn.words("try_blades", blades=together, size=say(stacked(blades)))


def _margin(turn: Turn, name: str, value: Value) -> str:
    """How far in or out, beside what the gauge is good for; empty where that is not known."""
    step, gauge = measurement(turn, name), gauge_of(turn, name)
    judged, reading = value.judgement, value.indication.amount
    found = margin(judged, gauge.unit, value.uncertainty)
    if found is None or found.good_for is None or (found.by.value * 10**6).denominator != 1:
        return ""
    say = turn.context.language.say_amount
    key = "margin" if found.by.value else "margin_none"
    told = turn.words(key, by=say(found.by), good_for=say(found.good_for))
    return f"{told} {_chance(turn, step, reading, found.good_for)}" if found.doubtful else told


def _near_a_limit(turn: Turn, name: str, value: Value) -> tuple[str, str]:
    """What is to spare, where that is little, and the chance of a verdict that is doubtful.

    Little is less than a quarter of the tolerance (of the limit itself where there is but one), or
    than twice what the gauge is good for.
    """
    step, unit = measurement(turn, name), gauge_of(turn, name).unit
    found = margin(value.judgement, unit, value.uncertainty)
    if found is None or (found.by.value * 10**6).denominator != 1:
        return "", ""
    ends = [a.to(unit).value for a in (step.lower, step.upper) if a is not None]
    if not ends:
        return "", ""
    tolerance = max(ends) - min(ends) if len(ends) > 1 else abs(ends[0])
    guarded = 0 if found.good_for is None else 2 * found.good_for.value
    little = found.by.value < max(tolerance / 4, guarded)
    key = "spare" if found.by.value else "spare_none"
    spare = turn.words(key, by=_by(turn, found.by)) if little else ""
    if not found.doubtful or found.good_for is None:
        return spare, ""
    return spare, _chance(turn, step, value.indication.amount, found.good_for, "chance_short")


_FINER = {"mm": "um", "in": "thou"}
"""Units in which a small distance is a short word: four microns, not point zero zero four."""


def _by(turn: Turn, by: Amount) -> str:
    """What is to spare, in the unit just said, or named in whole ones of a finer unit."""
    finer = by.to(_FINER.get(by.unit, by.unit))
    language = turn.context.language
    if finer.unit != by.unit and 0 < finer.value < 100 and finer.value.denominator == 1:
        return language.say_amount(finer)
    return language.say_number(by.value, by.decimals())


def _chance(
    turn: Turn, step: GaugedStep, reading: Amount, expanded: Amount, key: str = "chance"
) -> str:
    """The probability that the true value is in limits (JCGM 106:2012), in whole percent."""
    unit = expanded.unit
    standard = float(expanded.value) / 2  # stated with coverage factor two
    chance = conformity_probability(reading, standard, step.limits, unit)
    return turn.words(key, percent=round(100 * chance))


def _in_habit(turn: Turn, indication: Indication, unit: str) -> str:
    """A length also in the unit that the builder thinks in, where the tool has another.

    Not where the builder said it in another unit: that is read back.
    """
    thought = in_habit(in_tool_unit(indication.amount, unit), turn.state.habit)
    if thought is None or indication.said is not None:
        return ""
    return turn.words("in_habit", value=turn.context.language.say_amount(thought))


def say_limits(turn: Turn, step: GaugedStep, form: str = "") -> str:
    """The limits of a step in the unit of the tool in hand; ``form`` as of ``limit_words``."""
    procedure = turn.context.procedure
    step = with_limits(procedure, turn.state, step)
    gauge = gauge_in_hand(procedure, turn.state, step.gauge)
    return limit_words(turn, limits_for_tool(procedure, step, gauge), form)
