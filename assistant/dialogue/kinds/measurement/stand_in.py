"""What the stand-in builder reads off the gauge, and whether it was heard so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.dialogue.context import Context
from assistant.dialogue.expectation import listening
from assistant.dialogue.gauging import as_gauged, gauge_in_hand
from assistant.dialogue.kinds.measurement import bracketing
from assistant.dialogue.kinds.measurement.limits_now import with_limits
from assistant.dialogue.kinds.measurement.plausible import plausible
from assistant.dialogue.kinds.measurement.states import DigitCheck, Measuring
from assistant.dialogue.stand_in import StandIn, StandInError
from assistant.language.spec import Meaning, Phrase, Reading
from assistant.procedure.step import GaugedStep, ReadStep
from assistant.quantities.amount import Amount, Indication, in_tool_unit, same_value
from assistant.quantities.intervals import gathered
from assistant.quantities.problem import Problem


def spoken(builder: StandIn, index: int) -> tuple[str, ...]:
    """The phrases for position ``index``: one, or several for blades tried one after the other.

    Raises:
        StandInError: the answers have none.
    """
    step = _step(builder)
    name = step.places[index]
    try:
        given = builder.answers.readings[step.id][name].split("|")
    except KeyError:
        raise StandInError(
            f"The answers have no reading for step '{step.id}', position '{name}'."
        ) from None
    now = given[min(builder.adjustments(step.id), len(given) - 1)]
    if not now:
        known = with_limits(builder.context.procedure, builder.state, step.at(name))
        now = plausible_phrase(builder.context, known)
    return tuple(phrase.strip() for phrase in now.split(";"))


def another(builder: StandIn, index: int) -> bool:
    """Whether there is a reading at position ``index`` for after the next adjustment."""
    return builder.has_another(_step(builder).id)


def meant(builder: StandIn, index: int) -> list[Indication]:
    """What the phrases for position ``index`` of the open step mean, one by one.

    Raises:
        StandInError: a phrase is not one reading.
    """
    step, context = _step(builder), builder.context
    spec = listening(context, replace(builder.state, awaiting=Measuring(index))).spec
    gauge = context.procedure.gauge(step.at(step.places[index]).gauge)
    meanings: list[Indication] = []
    for text in spoken(builder, index):
        found = [_as_reading(builder, index, m) for m in context.language.interpret(spec, text)]
        known = [reading for reading in found if reading is not None]
        if len(known) != 1:
            raise StandInError(f"'{text}' at step '{step.id}' is not one reading.")
        meanings.append(as_gauged(gauge, known[0].indication))
    return meanings


def _as_reading(builder: StandIn, index: int, meaning: Meaning) -> Reading | None:
    """A meaning as a reading: a value, or both bars beside a strip; None of anything else."""
    if isinstance(meaning, Phrase):
        place = _step(builder).at(_step(builder).places[index])
        return bracketing.bracket(builder.context, builder.state, place, meaning.id)
    return meaning if isinstance(meaning, Reading) else None


def _step(builder: StandIn) -> ReadStep:
    assert builder.state.step is not None
    step = builder.context.procedure.step(builder.state.step)
    assert isinstance(step, ReadStep)
    return step


def digits(builder: StandIn, at: DigitCheck) -> str:
    """The digits of the reading where it was heard right, else that it was not."""
    said = meant(builder, at.index)
    heard = at.indication
    if not same_value(heard, said[min(len(at.evidence), len(said) - 1)]):
        return builder.say("wrong")
    step, context = _step(builder), builder.context
    gauge = step.at(step.places[at.index]).gauge
    unit = gauge_in_hand(context.procedure, builder.state, gauge).unit
    return context.language.say_digits(in_tool_unit(heard.amount, unit).number())


def reading(builder: StandIn, index: int, evidence: Sequence[Indication]) -> str:
    """What is read next at position ``index``, where ``evidence`` is of the blades tried so far.

    What was not meant is corrected first.
    """
    phrases = spoken(builder, index)
    if not evidence:
        return phrases[0]
    said = meant(builder, index)
    if not all(_among(said, heard) for heard in evidence):
        return builder.say("correction")
    untold = (p for p, one in zip(phrases, said, strict=True) if not _among(evidence, one))
    return next(untold, phrases[-1])


def _among(indications: Sequence[Indication], one: Indication) -> bool:
    return any(same_value(one, other) for other in indications)


def as_meant(builder: StandIn, step: ReadStep, index: int) -> bool:
    """Whether the value at position ``index``, if there is one, is the one that was meant."""
    value = builder.state.values.get(step.id, {}).get(step.places[index])
    if value is None:
        return True
    said = meant(builder, index)
    if said[-1].relation == "eq":
        return same_value(value.indication, said[-1])
    whole = gathered(said, said[-1].amount.unit)
    known = None if isinstance(whole, Problem) else whole.indication()
    return known is not None and same_value(value.indication, known)


def plausible_phrase(context: Context, step: GaugedStep) -> str:
    """How a value that might well be read is said."""
    return said(context, plausible(context.procedure, step))


def said(context: Context, value: Amount) -> str:
    """How a reading is said."""
    return context.language.prompt("reading_phrase", value=context.language.say_amount(value))
