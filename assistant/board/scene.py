"""What a moment of the dialogue puts in the middle of the board."""

from __future__ import annotations

from dataclasses import dataclass, replace

from assistant.board.figures import amount_text, indication_text, number, symbol
from assistant.board.view import Alarm, Figure, Line
from assistant.board.words import BoardWords
from assistant.dialogue.context import Context
from assistant.dialogue.expectation import condition_phrases, positions
from assistant.dialogue.state import (
    Acknowledge,
    Blocked,
    Choosing,
    ConditionReadback,
    Conditions,
    DigitCheck,
    DispositionReason,
    Doing,
    Ended,
    GoingBack,
    Inspecting,
    Manual,
    ManualReadback,
    Measuring,
    Moment,
    Noting,
    OutOfLimit,
    Release,
    Review,
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
from assistant.dialogue.tightening import order, pass_torque
from assistant.procedure.models import (
    ActionStep,
    AnyStep,
    ChoiceStep,
    DerivedStep,
    IdentificationStep,
    InspectionStep,
    LimitedStep,
    MeasurementStep,
    TighteningStep,
    WaitStep,
)


@dataclass(frozen=True)
class Scene:
    """Task, band, small print and figure of one moment."""

    task: str
    alarm: Alarm = ""
    band: str = ""
    lines: tuple[Line, ...] = ()
    figure: Figure | None = None


def underlying(moment: Moment) -> Moment:
    """The moment behind the interruptions (skip, go back, note, stop) lying on top of it."""
    while isinstance(moment, Skipping | GoingBack | Noting | Stopping):
        moment = moment.back
    return moment


def scene(context: Context, state: State, words: BoardWords) -> Scene:
    """The scene of ``state``; an interruption changes the task and leaves the work in sight."""
    moment = state.moment
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
        case _:
            return shown


def _work(context: Context, state: State, moment: Moment, words: BoardWords) -> Scene:
    if state.step is None:
        return _between_steps(context, state, moment, words)
    step = context.procedure.step(state.step)
    match moment:
        case Acknowledge(index=index):
            return _caution(step, index, words)
        case Doing():
            return Scene(words("task_doing"), lines=_action_lines(context, step, words))
        case Measuring() | DigitCheck() | OutOfLimit() | DispositionReason() | Release():
            return _limited(context, state, step, moment, words)
        case Review() if isinstance(step, LimitedStep):
            return _limited(context, state, step, moment, words)
        case Review() | TorqueAcknowledge() | Tightening() if isinstance(step, TighteningStep):
            return _tightening(context, step, moment, words)
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
        case _:
            return Scene(words("task_review"))


def _between_steps(context: Context, state: State, moment: Moment, words: BoardWords) -> Scene:
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
            options = " / ".join(p for _, p in condition_phrases(context.procedure, what))
            return Scene(words("task_" + what), lines=(Line(words("line_options"), options),))
        case ConditionReadback(value=value):
            return Scene(
                words("task_condition_readback"), figure=Figure("", value.replace("_", " "))
            )
        case Ended():
            return Scene(words("task_finished"), "finished", words("band_finished"))
        case Waiting() if not state.waits:
            return Scene(words("task_waiting"), "hold", words("band_stuck"))
        case _:
            return Scene(words("task_waiting"))


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


def _limited(
    context: Context, state: State, step: AnyStep, moment: Moment, words: BoardWords
) -> Scene:
    assert isinstance(step, LimitedStep)
    match moment:
        case Measuring(index=index):
            assert isinstance(step, MeasurementStep)
            gauge = context.procedure.gauge(step.gauge)
            unit = symbol(gauge.unit)
            lines = [Line(words("line_gauge"), gauge.name)]
            if not state.values.get(step.id):  # said once; later places leave room for figures
                lines.insert(0, Line("", step.say))
            for tried in moment.evidence:
                text, sign = indication_text(tried, gauge.unit, words)
                lines.insert(0, Line("", f"{text} {sign}"))
            figure = Figure(positions(step)[index], unit=unit, awaited=True)
            return Scene(
                words("task_measure", quantity=step.quantity), "", "", tuple(lines), figure
            )
        case DigitCheck(index=index, indication=indication):
            assert isinstance(step, MeasurementStep)
            text, sign = indication_text(
                indication, context.procedure.gauge(step.gauge).unit, words
            )
            label = positions(step)[index] or step.quantity
            band = words("band_doubt")
            return Scene(words("task_digits"), "doubt", band, (), Figure(label, text, sign))
        case OutOfLimit(index=index):
            band = words("band_" + _verdict(state, step, index))
            found = value_figure(context, state, step, index, words)
            return Scene(words("task_out"), "out", band, (), found)
        case DispositionReason(index=index, disposition=disposition):
            band = words("band_" + _verdict(state, step, index))
            task = words("task_reason", disposition=words("disposition_" + disposition))
            return Scene(task, "out", band, (), value_figure(context, state, step, index, words))
        case Release(index=index, disposition=disposition, reason=reason, person=person):
            name = words("disposition_" + disposition)
            task = (
                words("task_decide", person=person)
                if person
                else words("task_release", disposition=name)
            )
            lines = [Line(words("line_reason"), reason)] if reason else []
            found = value_figure(context, state, step, index, words)
            return Scene(task, "hold", words("band_release"), tuple(lines), found)
        case _:
            single = isinstance(step, DerivedStep) or len(state.values.get(step.id, {})) == 1
            shown = value_figure(context, state, step, 0, words) if single else None
            if shown is not None:
                judged = words("verdict_" + _mark(state, step))
                label = words("figure_judged", label=shown.label, verdict=judged)
                shown = replace(shown, label=label)
            return Scene(words("task_review"), figure=shown)


def _verdict(state: State, step: LimitedStep, index: int) -> str:
    if isinstance(step, MeasurementStep):
        value = state.values.get(step.id, {}).get(positions(step)[index])
        if value is not None and value.judgement.verdict == "undecided":
            return "undecided"
    return "out"


def _mark(state: State, step: LimitedStep) -> str:
    """The verdict on a step's single value; past review it is in limits or released."""
    return "released" if "" in state.released.get(step.id, ()) else "in"


def value_figure(
    context: Context, state: State, step: LimitedStep, index: int, words: BoardWords
) -> Figure | None:
    """The present value at position ``index`` of a step with limits; None when it has none."""
    if isinstance(step, MeasurementStep):
        name = positions(step)[index]
        value = state.values.get(step.id, {}).get(name)
        if value is None:
            return None
        unit = context.procedure.gauge(step.gauge).unit
        text, sign = indication_text(value.indication, unit, words)
        return Figure(name or step.quantity, text, sign)
    derived = state.derived.get(step.id)
    if derived is None:
        return None
    return Figure(step.quantity, number(derived), symbol(derived.unit))


def _tightening(context: Context, step: TighteningStep, moment: Moment, words: BoardWords) -> Scene:
    tool = context.procedure.gauge(step.tool)
    last = len(step.passes) - 1
    index = moment.pass_index if isinstance(moment, TorqueAcknowledge | Tightening) else last
    torque = pass_torque(step, tool, index)
    label = (
        words("figure_torque_pass", number=index + 1, total=last + 1)
        if last
        else words("figure_torque")
    )
    figure = Figure(label, number(torque), symbol(torque.unit))
    names = {c.id: c.name for c in context.procedure.consumables}
    thread = words("thread_" + step.thread, lubricant=names.get(step.lubricant or "", ""))
    lines = [Line(words("line_thread"), thread)]
    if step.angle is not None and index == last:
        lines.append(Line(words("line_turn"), amount_text(step.angle)))
    match moment:
        case TorqueAcknowledge():
            lines.insert(0, Line(words("line_tool"), tool.name))
            task = words("task_torque", tool=tool.name)
            return Scene(task, "caution", words("band_torque"), tuple(lines[1:]), figure)
        case Tightening(turn=turn):
            task = words("task_tighten", label=order(step)[turn])
            return Scene(task, "", "", tuple(lines), figure)
        case _:
            return Scene(words("task_review_tight"), "", "", tuple(lines), figure)


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
