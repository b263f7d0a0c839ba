"""Readings: asked for, heard, checked, judged and taken."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from assistant.dialogue import holding, tooling
from assistant.dialogue.edition import CONVERTS, LOOKS_AGAIN
from assistant.dialogue.gauging import as_gauged, in_gauge_unit, tool_in_hand
from assistant.dialogue.kinds import judged as kinds_judged
from assistant.dialogue.kinds.measurement import blades, readback
from assistant.dialogue.kinds.measurement.facts import ReadingOffered
from assistant.dialogue.kinds.measurement.implausible import implausible
from assistant.dialogue.kinds.measurement.punctuality import punctuality
from assistant.dialogue.kinds.measurement.states import DigitCheck, Measuring
from assistant.dialogue.kinds.measurement.values import (
    asked,
    gauge_of,
    guard,
    measurement,
    read_step,
    supersede,
    values_of,
)
from assistant.dialogue.state import Value
from assistant.dialogue.states import OutOfLimit, Review
from assistant.dialogue.turn import Turn
from assistant.language.spec import Digits, Reading
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.quantities.amount import Amount, Indication, in_tool_unit, same_value
from assistant.quantities.intervals import gathered
from assistant.quantities.limits import Judgement, Limits, judge
from assistant.quantities.problem import Problem
from assistant.quantities.repeated import outlier


def ask_position(turn: Turn, index: int) -> None:
    """Await a reading at position ``index``."""
    turn.go(Measuring(index))
    say_place(turn, index)


def say_place(turn: Turn, index: int) -> None:
    """Say where the reading is taken, where the place has a name."""
    step = read_step(turn)
    name = step.places[index]
    if isinstance(step, MeasurementStep):
        if name:
            turn.say_short("measure_position", position=name)
    else:
        turn.say("measure_logged", tone="ask", value=step.spoken(name))


def ask_next(turn: Turn) -> None:
    """Await the first position that has no value yet, or the review when all have."""
    step = read_step(turn)
    have = values_of(turn)
    for index in asked(turn):
        name = step.places[index]
        if name not in have:
            ask_position(turn, index)
            return
        if not have[name].judgement.passes and not _released(turn, name):
            turn.go(OutOfLimit(index))
            if step.when_out:
                turn.say_text(step.when_out, tone="caution")
            kinds_judged.judged(step).ask_out(turn, step, index)
            return
    turn.go(Review())
    if isinstance(step, MeasurementStep):
        _query_outlier(turn, step)
    say_review(turn)


def say_review(turn: Turn) -> None:
    """Ask to go on, or to correct."""
    turn.ask("review_measurement", tone="plain")


def _released(turn: Turn, position: str) -> bool:
    return position in turn.state.released.get(turn.step.id, ())


def hear_reading(turn: Turn, at: Measuring, reading: Reading, heard: str, why: str) -> None:
    """A reading was heard as ``heard``: ask for its digits, or read it back with its verdict.

    ``why`` is the reason in the sound to ask for its digits; empty where there is none. It does not
    count where its gauge must not be used any more, or another has taken the place of it.
    """
    if turn.state.edition >= LOOKS_AGAIN and (found_now := tooling.meanwhile(turn)) != "same":
        if found_now == "other":
            ask_position(turn, at.index)
        return
    name = read_step(turn).places[at.index]
    step = measurement(turn, name)
    found = implausible(turn.context.procedure, step, reading.indication, gauge_of(turn, name))
    reading = _as_read(turn, name, reading)
    if found == "other_unit" and turn.state.edition >= CONVERTS:
        found = ""  # converted exactly, to a mark of the gauge; the sound is judged by itself
    why = found or why
    judged = _judge(turn, name, reading.indication)
    turn.record(
        ReadingOffered(
            step=step.id,
            position=name,
            indication=reading.indication,
            heard=heard,
            judgement=judged,
            digits_asked=bool(why),
            why_asked=why,
            limits=_limits_around(turn, name),
        )
    )
    if why:
        turn.go(DigitCheck(at.index, reading.indication, heard, why, at.evidence))
        say_digit_question(turn)
    else:
        take(turn, at.index, reading.indication, "readback", at.evidence)


def _as_read(turn: Turn, name: str, reading: Reading) -> Reading:
    """What was said as the gauge in hand shows it."""
    called_for = turn.context.procedure.gauge(measurement(turn, name).gauge)
    shown = as_gauged(called_for, reading.indication)
    if turn.state.edition >= CONVERTS:
        shown = in_gauge_unit(gauge_of(turn, name), shown)
    return Reading(shown)


def _limits_around(turn: Turn, name: str) -> Limits | None:
    """The limits as they are now, where they lie around an earlier value."""
    around = read_step(turn).at(name).around
    return None if around is None else measurement(turn, name).limits


def say_digit_question(turn: Turn) -> None:
    """Ask for the reading digit by digit."""
    at = turn.state.awaiting
    assert isinstance(at, DigitCheck)
    language, said = turn.context.language, at.indication.said
    asked = asked_amount(turn, at)
    value = language.say_indication(replace(at.indication, amount=asked))
    why = turn.words("why_" + at.why)
    if said is None:
        turn.say("digits_ask", tone="ask", why=why, value=value)
        return
    value = turn.words("converted_ask", said=language.say_amount(said), value=value)
    unit = language.say_unit(asked.unit)
    turn.say("digits_ask_converted", tone="ask", why=why, value=value, unit=unit)


def asked_amount(turn: Turn, at: DigitCheck) -> Amount:
    """The amount whose digits are asked for: in the tool's unit where that is a decimal."""
    gauge = gauge_of(turn, read_step(turn).places[at.index])
    return in_tool_unit(at.indication.amount, gauge.unit)


def hear_digits(turn: Turn, at: DigitCheck, digits: Digits) -> None:
    """The digits were said: they must give the very value that was heard."""
    shown = asked_amount(turn, at)
    if Fraction(Decimal(digits.text)) == shown.value:
        take(turn, at.index, at.indication, "digits", at.evidence)
        return
    turn.say(
        "digits_differ",
        tone="ask",
        said=turn.context.language.say_digits(digits.text),
        value=turn.context.language.say_amount(shown),
    )
    turn.go(Measuring(at.index, at.evidence))


def drop_doubted(turn: Turn, at: DigitCheck) -> None:
    """The builder says that the value was misheard."""
    turn.go(Measuring(at.index, at.evidence))
    turn.say("reading_again", tone="ask")


def _judge(turn: Turn, name: str, indication: Indication) -> Judgement:
    step, known = measurement(turn, name), gauge_of(turn, name).uncertainty
    return judge(indication, step.limits, step.unit, known, step.rule)


def take(
    turn: Turn,
    index: int,
    indication: Indication,
    how: Literal["readback", "digits"],
    evidence: tuple[Indication, ...],
) -> None:
    """Read back a believed reading with its verdict; it becomes the position's value."""
    name = read_step(turn).places[index]
    step = measurement(turn, name)
    seen = (*evidence, indication)
    known = gathered(seen, indication.amount.unit)
    if isinstance(known, Problem):
        turn.say("evidence_contradicts", tone="ask")
        turn.go(Measuring(index))
        return
    whole = indication if indication.relation == "eq" else known.indication() or indication
    if same_value(whole, indication):
        whole = indication  # it keeps what was said
    # Of "goes" and "does not go" the evidence knows which ends are included, an indication not.
    gauge = gauge_of(turn, name)
    judged = (
        _judge(turn, name, whole)
        if whole.relation == "eq"
        else Judgement(known.verdict(step.limits, guard(step, gauge)))
    )
    if judged.verdict == "undecided" and whole.relation != "eq":
        turn.go(Measuring(index, seen))
        readback.say_undecided(turn, index, seen)
        if len(seen) == 1 and blades.single_needed(turn.context.procedure, turn.step):
            turn.say("single_needed")
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
            **punctuality(turn, index),
        ),
    }
    turn.put(values=store)
    if judged.passes:
        holding.end_hold(turn, step.id, name)
    else:
        holding.hold(turn, step.id, name, values_of(turn)[name])
    readback.say_value(turn, name)
    if whole.relation != "eq" and blades.single_needed(turn.context.procedure, turn.step):
        turn.say("single_needed")
    late_s = values_of(turn)[name].late_s
    if late_s:
        turn.say("reading_late", count=-(-late_s // 60))
    ask_next(turn)


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
