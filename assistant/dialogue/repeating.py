"""Asking again for what the present moment awaits; nothing is recorded anew, unless the moment
was a wait that has run out meanwhile."""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue import deriving, identifying, measuring, opening, steps, tightening, waiting
from assistant.dialogue.announcing import announcement
from assistant.dialogue.keeping import say_age
from assistant.dialogue.revising import say_revised
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
    Stopping,
    Tightening,
    TorqueAcknowledge,
    Waiting,
    WaitOffered,
)
from assistant.dialogue.turn import Turn
from assistant.procedure.models import (
    ActionStep,
    CautionStep,
    ChoiceStep,
    DerivedStep,
    IdentificationStep,
    InspectionStep,
    MeasurementStep,
    ShimStep,
    TighteningStep,
    WaitStep,
)


def ask_again(turn: Turn) -> None:
    """Say again what is awaited now."""
    awaited = turn.state.awaiting
    match awaited:
        case Manual():
            opening.ask_manual(turn)
        case ManualReadback(spoken=spoken):
            opening.hear_manual(turn, spoken)
        case Conditions() | ConditionReadback():
            opening.ask_conditions(turn)
        case Acknowledge(index=index):
            turn.say("caution", tone="caution", text=steps.cautions_of(turn.step)[index])
        case Doing() if isinstance(turn.step, ShimStep):
            steps.begin(turn)  # which shims to fit is said again
        case Doing():
            turn.say_text(turn.step.say)
            turn.say("say_done")
        case Measuring(index=index, evidence=evidence):
            _measuring(turn, index)
            if evidence:
                measuring.say_undecided(turn, index, evidence)
        case DigitCheck():
            measuring.say_digit_question(turn)
        case OutOfLimit():
            turn.say("out_of_limit_ask", tone="ask")
        case DispositionReason(disposition=disposition):
            name = turn.words("name_disposition_" + disposition)
            turn.say("disposition_reason", tone="ask", disposition=name)
        case Release(person=None) | Inspecting(person=None):
            _who(turn)
        case Release() | Inspecting():
            identifying.ask_decision(turn)
        case Review():
            _review(turn)
        case Loosening():
            tightening.say_loosen(turn)
        case TorqueAcknowledge() as moment:
            tightening.say_announcement(turn, moment)
        case Tightening(pass_index=index):
            turn.say_text(announcement(turn, index, ask=False), tone="caution")
            tightening.ask_fastener(turn)
        case Spelled() | Choosing() | WaitOffered():
            steps.begin(turn)
        case Waiting():
            steps.open_next(turn)  # a wait may have run out while something else was asked
        case Blocked():
            turn.say("blocked")
        case Skipping():
            turn.say("skip_ask", tone="ask")
        case GoingBack(to=to):
            title = turn.context.procedure.step(to).title
            turn.say("go_back_ask", tone="ask", title=title)
        case Noting():
            turn.say("note_ask", tone="ask")
        case ClockAsked():
            ask_clock(turn)
        case RevisionHeard(revised=revised):
            say_revised(turn, revised)
        case Stopping():
            turn.say("stop_ask", tone="ask")
        case Ended():
            pass
        case _:
            assert_never(awaited)


def ask_clock(turn: Turn) -> None:
    """Ask whether the wall clock is right, by what it says of a wait."""
    step = waiting.hard_to_believe(turn) or next(iter(turn.state.waits))
    turn.say(
        "clock_ask",
        tone="ask",
        title=turn.context.procedure.step(step).title,
        age=say_age(turn, waiting.began_s(turn, step)),
    )


def _measuring(turn: Turn, index: int) -> None:
    step = turn.step
    assert isinstance(step, MeasurementStep)
    measuring.say_gauge(turn)
    name = measuring.position_name(step, index)
    if name:
        turn.say("measure_position", position=name)


def say_standing(turn: Turn) -> None:
    """Read back the values of the open step that do not count yet.

    Their readback may not have been heard: power may have failed between storing and saying.
    """
    if turn.state.step is None:
        return
    step = turn.step
    match step:
        case MeasurementStep():
            for name in measuring.values_of(turn):
                measuring.say_value(turn, name)
        case DerivedStep():
            if step.id in turn.state.derived:
                deriving.say_derived(turn, step, deriving.standing(turn, step))
        case (
            CautionStep() | ActionStep() | ShimStep() | TighteningStep()
            | IdentificationStep() | ChoiceStep() | WaitStep() | InspectionStep()
        ):  # fmt: skip
            pass
        case _:
            assert_never(step)


def _review(turn: Turn) -> None:
    step = turn.step
    if isinstance(step, TighteningStep):
        tightening.say_review(turn)
    elif isinstance(step, MeasurementStep):
        one = len(step.places) == 1
        turn.say("review_measurement" if one else "review_measurements")
    else:
        turn.say("review_go_on")


def _who(turn: Turn) -> None:
    step = turn.step
    if isinstance(step, InspectionStep):
        turn.say("inspect_ask", tone="ask", criteria=step.criteria)
    else:
        turn.say("hold_for_release", tone="caution")
