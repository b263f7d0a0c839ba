"""What each moment makes of a meaning that it awaited."""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue import (
    disposing,
    identifying,
    measuring,
    opening,
    resuming,
    steps,
    tightening,
    tooling,
)
from assistant.dialogue.effects import ASKED, EndSession
from assistant.dialogue.expectation import DISPOSITIONS, SKIP_REASONS
from assistant.dialogue.facts import WorkStopped
from assistant.dialogue.repeating import ask_again
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
from assistant.language.spec import Command, Digits, Phrase, Reading, Spelling
from assistant.language.trust import Act, Ask
from assistant.procedure.models import (
    ActionStep,
    AnyStep,
    CautionStep,
    ChoiceStep,
    DerivedStep,
    IdentificationStep,
    InspectionStep,
    MeasurementStep,
    Procedure,
    ShimStep,
    TighteningStep,
    WaitStep,
)


def answer_moment(turn: Turn, understood: Act | Ask, heard: str) -> None:
    """Carry out what was ``understood``, which the present moment awaited, from ``heard``."""
    meaning = understood.meaning
    match turn.state.awaiting, meaning:
        case Manual(), Spelling(text=text):
            opening.hear_manual(turn, text)
        case ManualReadback() as moment, Command(id="confirm"):
            opening.confirm_manual(turn, moment)
        case ManualReadback(), Command(id="wrong"):
            opening.ask_manual(turn)
        case Conditions() as moment, Phrase(id=value):
            opening.hear_condition(turn, moment, value)
        case ConditionReadback() as moment, Command(id="confirm"):
            opening.confirm_condition(turn, moment)
        case ConditionReadback() as moment, Command(id="wrong"):
            opening.reject_condition(turn, moment)
        case Stopping(), Command(id="confirm"):
            _stop(turn)
        case (
            (Stopping(back=back) | GoingBack(back=back) | Skipping(back=back)),
            Command(id="wrong"),
        ):
            turn.go(back)
            turn.say("as_you_were")
            ask_again(turn)
        case ClockAsked() as moment, Command(id="confirm" | "wrong" as word):
            resuming.clock_answered(turn, moment, right=word == "confirm")
        case RevisionHeard() as moment, Command(id="understood"):
            resuming.acknowledge(turn, moment)
        case GoingBack(to=to), Command(id="confirm"):
            steps.rewind(turn, to)
        case Skipping(), Command(id=reason) if reason in SKIP_REASONS:
            steps.skip(turn, reason.removeprefix("skip_"))
        case ((Noting() | DispositionReason() | ClockAsked() | RevisionHeard() | Ended()), _):
            pass
        case _, Command(id="skip"):
            if not disposing.still_held(turn):
                turn.go(Skipping(turn.state.awaiting))
                turn.say("skip_ask", tone="ask")
        case _, Command(id="go_back"):
            steps.go_back(turn)
        case _:
            _answer_step(turn, understood, heard)


def _answer_step(turn: Turn, understood: Act | Ask, heard: str) -> None:
    meaning = understood.meaning
    match turn.state.awaiting, meaning:
        case Acknowledge() as moment, Command(id="understood"):
            steps.acknowledge(turn, moment)
        case Doing(), Command(id="done" | "go_on"):
            steps.complete(turn)
        case (Measuring() | Review() | OutOfLimit()) as moment, Reading() as reading:
            why = understood.why if isinstance(understood, Ask) else ""
            if not isinstance(moment, Measuring):
                moment = measuring.replaced(turn, moment)
                if tooling.blocked_meanwhile(turn):
                    return
            measuring.hear_reading(turn, moment, reading, heard, why)
        case ((Measuring() | Review()), Phrase(id=name)) if isinstance(turn.step, MeasurementStep):
            index = turn.step.positions.index(name)
            if name in measuring.values_of(turn):
                measuring.correct(turn, index)
            elif not tooling.blocked_meanwhile(turn):
                measuring.ask_position(turn, index)
        case Measuring(index=index, evidence=evidence), Command(id="correction" | "wrong") if (
            evidence
        ):
            measuring.drop_evidence(turn, index)
        case ((Measuring() | Review()), Command(id="correction" | "wrong")) if isinstance(
            turn.step, MeasurementStep
        ):
            measuring.correct(turn)
        case ((Measuring() | Review()), Command(id="remeasure")) if isinstance(
            turn.step, MeasurementStep
        ):
            measuring.remeasure(turn)
        case DigitCheck() as moment, Digits() as digits:
            measuring.hear_digits(turn, moment, digits)
        case DigitCheck() as moment, Command(id="wrong" | "correction"):
            measuring.drop_doubted(turn, moment)
        case OutOfLimit(index=index), Command(id="correction" | "wrong" | "remeasure"):
            if isinstance(turn.step, DerivedStep):
                _remeasure_inputs(turn, turn.step)
            else:
                measuring.correct(turn, index)
        case OutOfLimit(index=index), Command(id=name) if name in DISPOSITIONS:
            disposing.name_disposition(turn, index, name)
        case (Release() | Inspecting()) as moment, Phrase(id=initials):
            identifying.name_person(turn, moment, initials)
        case Release(person=str()) as moment, Command(id="accept" | "refuse" as word):
            _release(turn, moment, word == "accept")
        case Release(index=index) as moment, Command(id="correction" | "wrong"):
            disposing.drop_disposition(turn, moment, "taken_back")
            turn.go(OutOfLimit(index))
            turn.say("out_of_limit_ask", tone="ask")
        case Inspecting(person=str(person)), Command(id="accept" | "refuse" as word):
            steps.inspected(turn, person, word == "accept")
        case Review(), Command(id="go_on"):
            if isinstance(turn.step, MeasurementStep):
                measuring.confirm_all(turn)
            steps.complete(turn)
        case Review(), Command(id="correction" | "wrong" | "remeasure") if isinstance(
            turn.step, DerivedStep
        ):
            _remeasure_inputs(turn, turn.step)
        case TorqueAcknowledge(), Command(id="correction"):
            measuring.say_earlier(turn)
        case (
            (Review() | Tightening() | TorqueAcknowledge()) as moment,
            Command(id="missed" | "correction"),
        ) if isinstance(turn.step, TighteningStep):
            tightening.missed(turn, moment)
        case Loosening(), Command(id="understood"):
            tightening.loosened(turn)
        case TorqueAcknowledge() as moment, Command(id="understood"):
            tightening.acknowledge_torque(turn, moment)
        case Tightening() as moment, Command(id="done"):
            tightening.tightened(turn, moment)
        case Tightening() as moment, Phrase(id=label):
            tightening.named_fastener(turn, moment, label)
        case Spelled(text=""), Spelling(text=text):
            identifying.hear_spelling(turn, text)
        case Spelled(text=text), Command(id="confirm"):
            steps.identified(turn, text)
        case Choosing(option=""), Phrase(id=option):
            turn.go(Choosing(option))
            turn.say(
                "choice_readback",
                tone="readback",
                about=ASKED,
                option=identifying.option_words(turn, option),
            )
        case Choosing(option=option), Command(id="confirm"):
            steps.chosen(turn, option)
        case ((Spelled() | Choosing()), Command(id="wrong")):
            steps.begin(turn)
        case WaitOffered(), Command(id="done" | "go_on"):
            steps.start_wait(turn)
        case _, Command(id="correction"):
            measuring.say_earlier(turn)
        case _:
            _not_now(turn)


def _not_now(turn: Turn) -> None:
    """The moment makes nothing of what was said; every kind of moment is named on purpose."""
    moment = turn.state.awaiting
    match moment:
        case Blocked():
            turn.say("blocked")
        case (
            Manual() | ManualReadback() | Conditions() | ConditionReadback()
            | Acknowledge() | Doing() | Measuring() | DigitCheck() | OutOfLimit()
            | DispositionReason() | Release() | Review() | Loosening() | TorqueAcknowledge()
            | Tightening()
            | Spelled() | Choosing() | WaitOffered() | Waiting() | Inspecting()
            | Skipping() | GoingBack() | Noting() | ClockAsked() | RevisionHeard() | Stopping()
            | Ended()
        ):  # fmt: skip
            turn.say("not_now", tone="ask")
        case _:
            assert_never(moment)


def _release(turn: Turn, moment: Release, accepted: bool) -> None:
    step = turn.step
    disposing.release(turn, moment, accepted)
    again = accepted and moment.disposition in disposing.MEASURED_AGAIN
    if again and isinstance(step, DerivedStep):
        _remeasure_inputs(turn, step)


def _remeasure_inputs(turn: Turn, step: DerivedStep) -> None:
    inputs = _all_inputs(turn.context.procedure, step)
    sources = [
        s
        for s in turn.state.history
        if s in inputs and isinstance(turn.context.procedure.step(s), MeasurementStep)
    ]
    if not sources:
        turn.say("nothing_to_correct")
        return
    since = turn.state.history[turn.state.history.index(sources[0]) : -1]
    if not set(since) <= inputs:
        # other work lies between, and would be taken back with the readings
        steps.ask_back(turn, sources[0])
        return
    turn.say("derived_remeasure")
    steps.rewind(turn, sources[0])


def _all_inputs(procedure: Procedure, step: AnyStep) -> set[str]:
    """The steps that a value comes from, through every computed value and stack of shims."""
    match step:
        case DerivedStep(inputs=named):
            direct = set(named.values())
        case ShimStep(gap=gap):
            direct = {gap}
        case (
            CautionStep() | ActionStep() | MeasurementStep() | TighteningStep()
            | IdentificationStep() | ChoiceStep() | WaitStep() | InspectionStep()
        ):  # fmt: skip
            direct = set()
        case _:
            assert_never(step)
    return direct.union(*(_all_inputs(procedure, procedure.step(s)) for s in direct))


def _stop(turn: Turn) -> None:
    assert isinstance(turn.state.awaiting, Stopping)
    turn.record(WorkStopped(step=turn.state.step))
    turn.go(turn.state.awaiting.back)
    turn.put(stopped=True)
    turn.say("stopped")
    turn.effects.append(EndSession("stopped"))
