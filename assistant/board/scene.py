"""What a moment of the dialogue puts in the middle of the board."""

from __future__ import annotations

from dataclasses import replace
from typing import assert_never

from assistant.board.figures import number, symbol
from assistant.board.limited_scene import limited_scene, shim_scene
from assistant.board.tightening_scene import tightening_scene
from assistant.board.view import Figure, Line, Scene
from assistant.board.words import BoardWords
from assistant.dialogue.context import Context
from assistant.dialogue.expectation import condition_phrases
from assistant.dialogue.state import (
    Acknowledge,
    Blocked,
    Choosing,
    ClockAsked,
    ConditionReadback,
    Conditions,
    DialogueState,
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
from assistant.dialogue.steps import cautions_of
from assistant.procedure.models import (
    ActionStep,
    AnyStep,
    ChoiceStep,
    IdentificationStep,
    InspectionStep,
    LimitedStep,
    ShimStep,
    TighteningStep,
    WaitStep,
)


def underlying(moment: DialogueState) -> DialogueState:
    """The moment behind the interruptions (skip, go back, note, stop) lying on top of it."""
    while isinstance(moment, Skipping | GoingBack | Noting | Stopping | RevisionHeard | ClockAsked):
        moment = moment.back
    return moment


def scene(context: Context, state: State, words: BoardWords) -> Scene:
    """The scene of ``state``; an interruption changes the task and leaves the work in sight."""
    moment = state.awaiting
    if state.stopped:
        return Scene(words("task_stopped"), "stopped", words("band_stopped"))
    back = underlying(moment)
    shown = _work(context, state, back, words)
    match moment:
        case Skipping():
            return replace(shown, task=words("task_skip"))
        case GoingBack(to=to):
            title = context.procedure.step(to).title
            warning = Line("", words("task_go_back_what"))
            return replace(shown, task=words("task_go_back", title=title), lines=(warning,))
        case Noting():
            return replace(shown, task=words("task_note"))
        case Stopping():
            return replace(shown, task=words("task_stop"))
        case ClockAsked():
            return replace(shown, task=words("task_clock"))
        case RevisionHeard():
            shown = shown if shown.alarm else replace(shown, alarm="caution")
            band = shown.band or words("band_revised")
            return replace(shown, task=words("task_revised"), band=band)
        case (
            Manual() | ManualReadback() | Conditions() | ConditionReadback()
            | Loosening() | Acknowledge() | Doing() | Measuring() | DigitCheck() | OutOfLimit()
            | DispositionReason() | Release() | Review() | TorqueAcknowledge() | Tightening()
            | Spelled() | Choosing() | WaitOffered() | Waiting() | Inspecting() | Blocked()
            | Ended()
        ):  # fmt: skip
            return shown
        case _:
            assert_never(moment)


def _work(context: Context, state: State, moment: DialogueState, words: BoardWords) -> Scene:
    if state.step is None:
        return _between_steps(context, state, moment, words)
    step = context.procedure.step(state.step)
    match moment:
        case Acknowledge(index=index):
            return _caution(step, index, words)
        case Doing() if isinstance(step, ShimStep):
            return shim_scene(context, state, step, words)
        case Doing():
            return Scene(words("task_doing"), lines=_action_lines(context, step, words))
        case Measuring() | DigitCheck() | OutOfLimit() | DispositionReason() | Release():
            return limited_scene(context, state, step, moment, words)
        case Review() if isinstance(step, LimitedStep):
            return limited_scene(context, state, step, moment, words)
        case Review() | TorqueAcknowledge() | Tightening() if isinstance(step, TighteningStep):
            return tightening_scene(context, state, step, moment, words)
        case Loosening():
            labels = Line("", ", ".join(state.turned.get(step.id, ())))
            return Scene(words("task_loosen"), "caution", words("band_caution"), (labels,))
        case Spelled(text=text):
            return _spelled(step, text, words)
        case Choosing(option=option):
            return _choosing(step, option, words)
        case WaitOffered():
            assert isinstance(step, WaitStep)
            figure = Figure(
                words("figure_duration"), number(step.duration), symbol(step.duration.unit)
            )
            return Scene(words("task_wait"), lines=(Line("", step.say),), figure=figure)
        case Inspecting(person=person):
            return _inspecting(step, person, words)
        case Blocked():
            return Scene(words("task_blocked"), "hold", words("band_blocked"))
        case (
            Review() | TorqueAcknowledge() | Tightening()
            | Manual() | ManualReadback() | Conditions() | ConditionReadback() | Waiting()
            | Skipping() | GoingBack() | Noting() | ClockAsked() | RevisionHeard() | Stopping()
            | Ended()
        ):  # fmt: skip
            return Scene(words("task_review"))
        case _:
            assert_never(moment)


def _between_steps(
    context: Context, state: State, moment: DialogueState, words: BoardWords
) -> Scene:
    governing = context.procedure.governing
    match moment:
        case Manual():
            lines = (Line("", governing.title), Line("", words("label_governs")))
            figure = Figure(words("figure_revision"), awaited=True)
            return Scene(words("task_manual"), lines=lines, figure=figure)
        case ManualReadback(spoken=spoken):
            expected = Line(words("line_expected"), governing.revision)
            figure = Figure(words("figure_revision"), spoken)
            return Scene(words("task_manual_readback"), lines=(expected,), figure=figure)
        case Conditions(what=what):
            options = " / ".join(p for _, p in condition_phrases(context, what))
            return Scene(words("task_" + what), lines=(Line(words("line_options"), options),))
        case ConditionReadback(value=value):
            return Scene(
                words("task_condition_readback"), figure=Figure("", value.replace("_", " "))
            )
        case Ended():
            return Scene(words("task_finished"), "finished", words("band_finished"))
        case Waiting() if not state.waits:
            return Scene(words("task_waiting"), "hold", words("band_stuck"))
        case (
            Waiting() | Acknowledge() | Doing() | Measuring() | DigitCheck() | OutOfLimit()
            | DispositionReason() | Release() | Review() | TorqueAcknowledge() | Tightening()
            | Loosening() | Spelled() | Choosing() | WaitOffered() | Inspecting() | Blocked()
            | Skipping() | GoingBack() | Noting() | ClockAsked() | RevisionHeard() | Stopping()
        ):  # fmt: skip
            return Scene(words("task_waiting"))
        case _:
            assert_never(moment)


def _caution(step: AnyStep, index: int, words: BoardWords) -> Scene:
    texts = cautions_of(step)
    band = (
        words("band_caution_count", number=index + 1, total=len(texts))
        if len(texts) > 1
        else words("band_caution")
    )
    return Scene(words("task_acknowledge"), "caution", band, (Line("", texts[index]),))


def _action_lines(context: Context, step: AnyStep, words: BoardWords) -> tuple[Line, ...]:
    lines = [Line("", step.say)]
    if isinstance(step, ActionStep):
        names = {c.id: c.name for c in context.procedure.consumables}
        if step.orientation:
            lines.append(Line(words("line_orientation"), step.orientation))
        if step.materials:
            materials = ", ".join(names[m] for m in step.materials)
            lines.append(Line(words("line_materials"), materials))
        if step.expect:
            lines.append(Line(words("line_expect"), step.expect))
    return tuple(lines)


def _spelled(step: AnyStep, text: str, words: BoardWords) -> Scene:
    assert isinstance(step, IdentificationStep)
    label = words("what_" + step.what)
    if text:
        return Scene(words("task_readback"), figure=Figure(label, text))
    lines = (Line("", step.say),)
    return Scene(words("task_identify"), lines=lines, figure=Figure(label, awaited=True))


def _choosing(step: AnyStep, option: str, words: BoardWords) -> Scene:
    assert isinstance(step, ChoiceStep)
    if option:
        chosen = next(o.say for o in step.options if o.id == option)
        return Scene(words("task_readback"), figure=Figure("", chosen))
    options = " / ".join(o.say for o in step.options)
    return Scene(
        words("task_choose"),
        lines=(Line("", step.say), Line(words("line_options"), options)),
    )


def _inspecting(step: AnyStep, person: str | None, words: BoardWords) -> Scene:
    assert isinstance(step, InspectionStep)
    task = words("task_decide", person=person) if person else words("task_inspect")
    lines = (Line(words("line_criteria"), step.criteria),)
    return Scene(task, "hold", words("band_hold"), lines)
