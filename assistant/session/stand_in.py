"""A stand-in for the builder: says what an attentive builder would say now.

Used by the demonstration, the rehearsal of a procedure, and the tests. Pure: the next line
follows from the state and the builder's answers alone.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import assert_never

from assistant.dialogue.context import Context
from assistant.dialogue.expectation import listening
from assistant.dialogue.gauging import as_gauged, gauge_in_hand
from assistant.dialogue.state import (
    Acknowledge,
    Blocked,
    Choosing,
    ClockAsked,
    ConditionReadback,
    Conditions,
    DigitCheck,
    DispositionReason,
    Doing,
    Ended,
    GoingBack,
    Inspecting,
    Loosening,
    Manual,
    ManualReadback,
    Measuring,
    Noting,
    OutOfLimit,
    Release,
    Review,
    RevisionHeard,
    Skipping,
    Spelled,
    State,
    Stopping,
    Tightening,
    TorqueAcknowledge,
    Waiting,
    WaitOffered,
)
from assistant.language.spec import Reading
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.quantities.amount import Indication, in_tool_unit, same_value
from assistant.quantities.intervals import gathered


@dataclass(frozen=True)
class Answers:
    """What the builder has at hand.

    ``readings`` maps step id to position to the spoken phrase, or to several parted by ``;`` where
    blades are tried one after the other; ``numbers`` step id to the
    characters on the part; ``choices`` step id to option id.
    """

    revision: str
    variant: str = ""
    parts: str = ""
    inspector: str = ""  # initials
    choices: dict[str, str] = field(default_factory=dict)
    numbers: dict[str, str] = field(default_factory=dict)
    readings: dict[str, dict[str, str]] = field(default_factory=dict)
    disposition: str = "use_as_is"
    reason: str = "within wear allowance"


class StandInError(ValueError):
    """The answers lack something that the procedure asks; the message says what."""


def next_line(context: Context, state: State, answers: Answers) -> str | None:
    """What the builder says now; None when there is nothing to say but wait.

    Raises:
        StandInError: the answers do not cover what is asked.
    """
    say = context.language.phrase_for
    spell = context.language.say_spelling
    moment = state.awaiting
    match moment:
        case Manual():
            return spell(answers.revision)
        case ManualReadback(spoken=spoken):
            return say("confirm" if spoken == answers.revision else "wrong")
        case Conditions(what=what):
            wanted = answers.variant if what == "variant" else answers.parts
            return _phrase(context, state, wanted)
        case ConditionReadback(what=what, value=value):
            wanted = answers.variant if what == "variant" else answers.parts
            return say("confirm" if value == wanted else "wrong")
        case ClockAsked():
            return say("confirm")
        case Acknowledge() | Loosening() | TorqueAcknowledge() | RevisionHeard():
            return say("understood")
        case Doing() | WaitOffered():
            return say("go_on")
        case Tightening():
            return say("done")
        case Measuring(index=index, evidence=evidence):
            phrases = _spoken(context, state, answers, index)
            return phrases[min(len(evidence), len(phrases) - 1)]
        case DigitCheck(index=index, indication=indication, evidence=evidence):
            return _digits(context, state, answers, index, indication, len(evidence))
        case OutOfLimit(index=index):
            if not _as_meant(context, state, answers, index):
                return say("correction")
            return say("disposition_" + answers.disposition)
        case DispositionReason() | Noting():
            return answers.reason
        case Release(person=None) | Inspecting(person=None):
            return _phrase(context, state, answers.inspector)
        case Release() | Inspecting():
            return say("accept")
        case Review():
            return say("go_on" if _all_as_meant(context, state, answers) else "remeasure")
        case Spelled(text=text):
            number = _given(answers.numbers, state)
            return spell(number) if not text else say("confirm" if text == number else "wrong")
        case Choosing(option=option):
            wanted = _given(answers.choices, state)
            if option:
                return say("confirm" if option == wanted else "wrong")
            return _phrase(context, state, wanted)
        case Skipping() | GoingBack() | Stopping():
            return say("wrong")  # never meant: something was misheard
        case Blocked():
            return say("go_back")
        case Waiting() | Ended():
            return None
        case _:
            assert_never(moment)


def _given(answers: dict[str, str], state: State) -> str:
    assert state.step is not None
    if state.step not in answers:
        raise StandInError(f"The answers have nothing for step '{state.step}'.")
    return answers[state.step]


def _phrase(context: Context, state: State, wanted: str) -> str:
    phrases = dict(listening(context, state).spec.phrases)
    if wanted not in phrases:
        raise StandInError(
            f"The answer '{wanted}' at step '{state.step}' is none of: {', '.join(phrases)}."
        )
    return phrases[wanted]


def _spoken(context: Context, state: State, answers: Answers, index: int) -> tuple[str, ...]:
    assert state.step is not None
    step = context.procedure.step(state.step)
    assert isinstance(step, MeasurementStep)
    name = step.places[index]
    try:
        return tuple(p.strip() for p in answers.readings[step.id][name].split(";"))
    except KeyError:
        raise StandInError(
            f"The answers have no reading for step '{step.id}', position '{name}'."
        ) from None


def meant(context: Context, state: State, answers: Answers, index: int) -> list[Indication]:
    """What the builder's phrases for position ``index`` of the open step mean, one by one.

    Raises:
        StandInError: a phrase is not one reading.
    """
    assert state.step is not None
    step = context.procedure.step(state.step)
    assert isinstance(step, MeasurementStep)
    spec = listening(context, replace(state, awaiting=Measuring(index))).spec
    meanings: list[Indication] = []
    for text in _spoken(context, state, answers, index):
        found = [m for m in context.language.interpret(spec, text) if isinstance(m, Reading)]
        if len(found) != 1:
            raise StandInError(f"'{text}' at step '{state.step}' is not one reading.")
        meanings.append(as_gauged(context.procedure, step, found[0].indication))
    return meanings


def _digits(
    context: Context, state: State, answers: Answers, index: int, heard: Indication, turn: int
) -> str:
    said = meant(context, state, answers, index)
    if not same_value(heard, said[min(turn, len(said) - 1)]):
        return context.language.phrase_for("wrong")
    assert state.step is not None
    step = context.procedure.step(state.step)
    assert isinstance(step, MeasurementStep)
    unit = gauge_in_hand(context.procedure, state, step.gauge).unit
    return context.language.say_digits(in_tool_unit(heard.amount, unit).number())


def _as_meant(context: Context, state: State, answers: Answers, index: int) -> bool:
    assert state.step is not None
    step = context.procedure.step(state.step)
    if not isinstance(step, MeasurementStep):
        return True
    value = state.values.get(step.id, {}).get(step.places[index])
    if value is None:
        return True
    said = meant(context, state, answers, index)
    if said[-1].relation == "eq":
        return same_value(value.indication, said[-1])
    whole = gathered(said, said[-1].amount.unit)
    known = None if isinstance(whole, str) else whole.indication()
    return known is not None and same_value(value.indication, known)


def _all_as_meant(context: Context, state: State, answers: Answers) -> bool:
    assert state.step is not None
    step = context.procedure.step(state.step)
    if not isinstance(step, MeasurementStep):
        return True
    return all(_as_meant(context, state, answers, i) for i in range(len(step.places)))
