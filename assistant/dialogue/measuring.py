"""Measurement steps: readings, readback, verdict, doubt, correction, disposition, release."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from assistant.dialogue import holding, tooling
from assistant.dialogue.doubt import implausible
from assistant.dialogue.facts import (
    ReadingConfirmed,
    ReadingOffered,
    ReadingSuperseded,
)
from assistant.dialogue.gauging import as_gauged, gauge_in_hand, tool_in_hand
from assistant.dialogue.state import (
    DigitCheck,
    Measuring,
    OutOfLimit,
    Review,
    State,
    Value,
)
from assistant.dialogue.tool_limits import limits_for_tool
from assistant.dialogue.turn import Turn
from assistant.language.spec import Digits, Reading
from assistant.procedure.models import Gauge, LimitedStep, MeasurementStep
from assistant.quantities.amount import Amount, Indication, in_tool_unit
from assistant.quantities.habit import in_habit
from assistant.quantities.intervals import Evidence, gathered, next_blade, stacked
from assistant.quantities.limits import Judgement, judge
from assistant.quantities.margin import margin
from assistant.quantities.repeated import outlier
from assistant.quantities.uncertainty import conformity_probability


def measurement(turn: Turn) -> MeasurementStep:
    """The open step, which is a measurement here."""
    step = turn.step
    assert isinstance(step, MeasurementStep)
    return step


def position_name(step: LimitedStep, index: int) -> str:
    """The name of position ``index``; empty for a single nameless one."""
    return step.places[index] if isinstance(step, MeasurementStep) else ""


def gauge_of(turn: Turn) -> Gauge:
    """The gauge in hand at the open step."""
    return gauge_in_hand(turn.context.procedure, turn.state, measurement(turn).gauge)


def say_gauge(turn: Turn) -> None:
    """Say which gauge to use, its unit where that is not the one called for, and the limits."""
    step = measurement(turn)
    gauge, called_for = gauge_of(turn), turn.context.procedure.gauge(step.gauge)
    turn.say("measure", gauge=gauge.name, limits=say_limits(turn, step))
    if gauge.unit != called_for.unit:
        turn.say("gauge_unit", unit=turn.context.language.say_unit(gauge.unit))


def values_of(turn: Turn) -> Mapping[str, Value]:
    """The present values of the open step, by position."""
    return turn.state.values.get(turn.step.id, {})


def ask_position(turn: Turn, index: int) -> None:
    """Await a reading at position ``index``."""
    step = measurement(turn)
    turn.go(Measuring(index))
    name = position_name(step, index)
    if name:
        turn.say("measure_position", position=name)


def ask_next(turn: Turn) -> None:
    """Await the first position that has no value yet, or the review when all have."""
    step = measurement(turn)
    have = values_of(turn)
    for index, name in enumerate(step.places):
        if name not in have:
            ask_position(turn, index)
            return
        if not have[name].judgement.passes and not _released(turn, name):
            turn.go(OutOfLimit(index))
            turn.say("out_of_limit_ask", tone="ask")
            return
    turn.go(Review())
    _query_outlier(turn, step)
    turn.say("review_measurement" if len(step.places) == 1 else "review_measurements")


def _released(turn: Turn, position: str) -> bool:
    return position in turn.state.released.get(turn.step.id, ())


def replaced(turn: Turn, moment: Review | OutOfLimit) -> Measuring:
    """A new reading is said for a value that was read back: that one no longer counts."""
    step = measurement(turn)
    have = list(values_of(turn))
    index = moment.index if isinstance(moment, OutOfLimit) else step.places.index(have[-1])
    supersede(turn, position_name(step, index), "correction")
    return Measuring(index)


def hear_reading(turn: Turn, moment: Measuring, reading: Reading, heard: str, why: str) -> None:
    """A reading was heard as ``heard``: doubt it, or read it back with its verdict.

    ``why`` is the reason to doubt it that lies in the sound, empty where there is none.
    """
    step = measurement(turn)
    found = implausible(turn.context.procedure, step, reading.indication, gauge_of(turn))
    why = found or why
    reading = Reading(as_gauged(turn.context.procedure, step, reading.indication))
    judged = _judge(turn, step, reading.indication)
    turn.record(
        ReadingOffered(
            step=step.id,
            position=position_name(step, moment.index),
            indication=reading.indication,
            heard=heard,
            judgement=judged,
            digits_asked=bool(why),
            why_asked=why,
        )
    )
    if why:
        turn.go(DigitCheck(moment.index, reading.indication, heard, why, moment.evidence))
        say_digit_question(turn)
    else:
        take(turn, moment.index, reading.indication, "readback", moment.evidence)


def say_digit_question(turn: Turn) -> None:
    """Ask for the doubted reading digit by digit."""
    moment = turn.state.awaiting
    assert isinstance(moment, DigitCheck)
    shown = asked_amount(turn, moment)
    turn.say(
        "digits_ask",
        tone="ask",
        why=turn.words("why_" + moment.why),
        value=turn.context.language.say_indication(replace(moment.indication, amount=shown)),
    )


def asked_amount(turn: Turn, moment: DigitCheck) -> Amount:
    """The amount whose digits are asked for: in the tool's unit where that is a decimal."""
    gauge = gauge_of(turn)
    return in_tool_unit(moment.indication.amount, gauge.unit)


def hear_digits(turn: Turn, moment: DigitCheck, digits: Digits) -> None:
    """The digits were said: they must give the very value that was heard."""
    shown = asked_amount(turn, moment)
    if Fraction(Decimal(digits.text)) == shown.value:
        take(turn, moment.index, moment.indication, "digits", moment.evidence)
        return
    turn.say(
        "digits_differ",
        tone="ask",
        said=turn.context.language.say_digits(digits.text),
        value=turn.context.language.say_amount(shown),
    )
    turn.go(Measuring(moment.index, moment.evidence))


def drop_doubted(turn: Turn, moment: DigitCheck) -> None:
    """The builder says that the value was misheard."""
    turn.go(Measuring(moment.index, moment.evidence))
    turn.say("reading_again", tone="ask")


def _judge(turn: Turn, step: MeasurementStep, indication: Indication) -> Judgement:
    return judge(indication, step.limits, step.unit, gauge_of(turn).uncertainty, step.rule)


def take(
    turn: Turn,
    index: int,
    indication: Indication,
    how: Literal["readback", "digits"],
    evidence: tuple[Indication, ...],
) -> None:
    """Read back a believed reading with its verdict; it becomes the position's value."""
    step = measurement(turn)
    name = position_name(step, index)
    seen = (*evidence, indication)
    known = gathered(seen, indication.amount.unit)
    if isinstance(known, str):
        turn.say("evidence_contradicts", tone="ask")
        turn.go(Measuring(index))
        return
    whole = indication if indication.relation == "eq" else known.indication() or indication
    # Of "goes" and "does not go" the evidence knows which ends are included, an indication not.
    gauge = gauge_of(turn)
    judged = (
        _judge(turn, step, whole)
        if whole.relation == "eq"
        else Judgement(known.verdict(step.limits, _guard(step, gauge)))
    )
    if judged.verdict == "undecided" and whole.relation != "eq":
        turn.go(Measuring(index, seen))
        say_undecided(turn, index, seen)
        return
    supersede(turn, name, "correction")
    store = dict(turn.state.values)
    own = tool_in_hand(turn.state, step.gauge)
    store[step.id] = {
        **store.get(step.id, {}),
        name: Value(
            whole,
            judged,
            how,
            tool="" if own is None else own.id,
            tool_name="" if own is None else own.name,
            uncertainty=gauge.uncertainty,
            graduation=gauge.resolution,
        ),
    }
    turn.put(values=store)
    if judged.passes:
        holding.let_go(turn, step.id, name)
    else:
        holding.hold(turn, step.id, name, values_of(turn)[name])
    say_value(turn, name)
    ask_next(turn)


def _guard(step: MeasurementStep, gauge: Gauge) -> Amount | None:
    """By how much the limits are drawn in for blades, plugs and rings: the U of their sizes."""
    return gauge.uncertainty if step.rule == "guarded" else None


def say_value(turn: Turn, name: str) -> None:
    """Read back the value of position ``name`` with its verdict.

    A value out of limits that was taken back is read back as the one that holds the step.
    """
    step = measurement(turn)
    value = values_of(turn).get(name) or turn.state.held[step.id][name]
    unit = gauge_of(turn).unit
    single = value.indication.relation == "eq"
    turn.say(
        f"readback_{value.judgement.verdict}",
        habit=_in_habit(turn, in_tool_unit(value.indication.amount, unit)) if single else "",
        tone="readback",
        about=about(step.id, name),
        position=name,
        value=_in_words(turn, value.indication),
        limits=say_limits(turn, step),
        margin=_margin(turn, step, value),
    )


def say_undecided(turn: Turn, index: int, evidence: tuple[Indication, ...]) -> None:
    """Read back what the blades tried at a position tell so far, and which to try next."""
    step = measurement(turn)
    known = gathered(evidence, evidence[-1].amount.unit)
    assert isinstance(known, Evidence)
    turn.say(
        "reading_undecided",
        tone="readback",
        about=about(step.id, position_name(step, index)),
        position=position_name(step, index),
        value=_in_words(turn, known.indication() or evidence[-1]),
        next=_try_next(turn, step, known),
    )


def about(step: str, position: str) -> str:
    """What the readback of the value at ``position`` of ``step`` is about."""
    return f"{step}/{position}"


def _in_words(turn: Turn, indication: Indication) -> str:
    return in_words(turn, measurement(turn), indication)


def in_words(turn: Turn, step: MeasurementStep, indication: Indication) -> str:
    """What the gauge of ``step`` showed, in words, in the gauge's unit where that is a decimal."""
    gauge = gauge_in_hand(turn.context.procedure, turn.state, step.gauge)
    shown = in_tool_unit(indication.amount, gauge.unit)
    return turn.context.language.say_indication(
        indication if indication.relation == "between" else replace(indication, amount=shown)
    )


def _try_next(turn: Turn, step: MeasurementStep, known: Evidence) -> str:
    """Which blade to try next, in words; empty when the set has none that would tell."""
    gauge = gauge_of(turn)
    say = turn.context.language.say_amount
    ring = gauge.kind == "ring_gauge"
    guard = _guard(step, gauge)
    blades = next_blade(known, step.limits, gauge.members, ring=ring, guard=guard)
    if blades is None and gauge.kind == "feeler":  # plugs and rings cannot be put together
        blades = next_blade(known, step.limits, gauge.members, most=2, guard=guard)
    if blades is None:
        return turn.words("try_another_way")
    if len(blades) == 1:
        key = "try_blade" if gauge.kind == "feeler" else "try_gauge"
        return turn.words(key, blade=say(blades[0]))
    together = turn.words("and").join(say(b) for b in blades)
    return turn.words("try_blades", blades=together, size=say(stacked(blades)))


def _margin(turn: Turn, step: MeasurementStep, value: Value) -> str:
    """How far in or out, beside what the gauge is good for; empty where that is not known."""
    gauge = gauge_of(turn)
    judged, reading = value.judgement, value.indication.amount
    found = margin(judged, gauge.unit, value.uncertainty)
    if found is None or found.good_for is None or (found.by.value * 10**6).denominator != 1:
        return ""
    say = turn.context.language.say_amount
    told = turn.words("margin", by=say(found.by), good_for=say(found.good_for))
    return f"{told} {_chance(turn, step, reading, found.good_for)}" if found.doubtful else told


def _chance(turn: Turn, step: MeasurementStep, reading: Amount, expanded: Amount) -> str:
    """The probability that the true value is in limits (JCGM 106:2012), in whole percent."""
    unit = expanded.unit
    standard = float(expanded.value) / 2  # stated with coverage factor two
    chance = conformity_probability(reading, standard, step.limits, unit)
    return turn.words("chance", percent=round(100 * chance))


def _in_habit(turn: Turn, shown: Amount) -> str:
    """A length once more in the unit that the builder thinks in, where the tool has another."""
    thought = in_habit(shown, turn.state.habit)
    if thought is None:
        return ""
    return turn.words("in_habit", value=turn.context.language.say_amount(thought))


def _query_outlier(turn: Turn, step: MeasurementStep) -> None:
    """Point out the one reading that stands apart from the others, if there is one."""
    have = values_of(turn)
    names = [n for n in step.places if have[n].indication.relation == "eq"]
    found = outlier(
        [have[n].indication.amount for n in names],
        graduation=next((have[n].graduation for n in names), None),
        uncertainty=next((have[n].uncertainty for n in names), None),
    )
    if found is not None:
        turn.say("outlier", tone="ask", position=names[found.index])


def say_limits(turn: Turn, step: LimitedStep) -> str:
    """The limits of a step in words, in the unit of the tool in hand."""
    say = turn.context.language.say_amount
    procedure = turn.context.procedure
    gauge = None
    if isinstance(step, MeasurementStep):
        gauge = gauge_in_hand(procedure, turn.state, step.gauge)
    limits = limits_for_tool(procedure, step, gauge)
    if limits.lower is not None and limits.upper is not None:
        return turn.words("limits_both", lower=say(limits.lower), upper=say(limits.upper))
    if limits.upper is not None:
        return turn.words("limits_upper", upper=say(limits.upper))
    if limits.lower is not None:
        return turn.words("limits_lower", lower=say(limits.lower))
    return turn.words("limits_none")


def correct(turn: Turn, index: int | None = None) -> None:
    """Take back the last reading, or the one at position ``index``, and measure again."""
    step = measurement(turn)
    names = step.places
    have = values_of(turn)
    if index is None:
        if not have:
            say_earlier(turn)
            return
        index = names.index(list(have)[-1])  # values stand in the order in which they were said
    supersede(turn, names[index], "correction")
    drop_evidence(turn, index)


def drop_evidence(turn: Turn, index: int) -> None:
    """Take back the blades tried at a position, and measure there again."""
    name = position_name(measurement(turn), index)
    turn.not_owed(about(turn.step.id, name))
    if tooling.blocked_meanwhile(turn):
        return
    turn.go(Measuring(index))
    turn.say("correct_position" if name else "correct_reading", tone="ask", position=name)


def remeasure(turn: Turn) -> None:
    """Take back every reading of the step and start it again."""
    for name in list(values_of(turn)):
        supersede(turn, name, "remeasure")
    turn.say("remeasure")
    if not tooling.blocked_meanwhile(turn):
        ask_next(turn)


def say_earlier(turn: Turn) -> None:
    """There is nothing here to correct: name the value recorded last, and the way back to it."""
    found = earlier(turn.state)
    if found is None:
        turn.say("nothing_to_correct")
        return
    step = turn.context.procedure.step(found)
    assert isinstance(step, MeasurementStep)
    name, value = list(turn.state.values[found].items())[-1]
    behind = turn.state.history[turn.state.history.index(found) :]
    count = len(behind) - (turn.state.step is not None)
    turn.say(
        "correct_earlier" if count == 1 else "correct_earlier_steps",
        position=name,
        value=in_words(turn, step, value.indication),
        title=step.title,
        count=count,
    )


def earlier(state: State) -> str | None:
    """The step before the open one whose readings were recorded last; None without any."""
    before = state.history if state.step is None else state.history[:-1]
    return next((s for s in reversed(before) if state.values.get(s)), None)


def supersede(
    turn: Turn, position: str, why: Literal["correction", "remeasure", "reopened"]
) -> None:
    """The value of ``position`` no longer counts; it stays in the journal."""
    step = turn.step
    have = dict(values_of(turn))
    if position not in have:
        return
    del have[position]
    turn.not_owed(about(step.id, position))
    turn.put(values={**turn.state.values, step.id: have})
    released = turn.state.released.get(step.id, ())
    turn.put(released={**turn.state.released, step.id: tuple(p for p in released if p != position)})
    turn.record(
        ReadingSuperseded(
            step=step.id,
            position=position,
            why=why,
        )
    )


def confirm_all(turn: Turn) -> None:
    """The builder goes on: from now on the readings of the step count."""
    step = measurement(turn)
    for name in step.places:
        value = values_of(turn)[name]
        turn.record(
            ReadingConfirmed(
                step=step.id,
                position=name,
                quantity=step.quantity,
                indication=value.indication,
                limits=step.limits,
                judgement=value.judgement,
                gauge=step.gauge,
                how=value.how,
                tool=value.tool,
                tool_name=value.tool_name,
                uncertainty=value.uncertainty,
            )
        )
