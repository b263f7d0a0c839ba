"""The scene of measurement and derived steps: asked, doubted, out of limits, held, reviewed."""

from __future__ import annotations

from dataclasses import replace
from typing import assert_never

from assistant.board.figures import amount_text, indication_text, number, symbol
from assistant.board.view import Figure, Line, Scene
from assistant.board.words import BoardWords
from assistant.dialogue.context import Context
from assistant.dialogue.deriving import judgement_of
from assistant.dialogue.estimating import estimate_of, shown_value
from assistant.dialogue.gauging import gauge_in_hand
from assistant.dialogue.shimming import digits_of, shim_stack
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
from assistant.dialogue.turn import Turn
from assistant.procedure.models import (
    AnyStep,
    DerivedStep,
    LimitedStep,
    MeasurementStep,
    ShimStep,
)


def limited_scene(
    context: Context, state: State, step: AnyStep, moment: DialogueState, words: BoardWords
) -> Scene:
    """The scene of a step that yields a value against limits."""
    assert isinstance(step, LimitedStep)
    match moment:
        case Measuring(index=index):
            assert isinstance(step, MeasurementStep)
            gauge = gauge_in_hand(context.procedure, state, step.gauge)
            unit = symbol(gauge.unit)
            lines = [Line(words("line_gauge"), gauge.name)]
            if not state.values.get(step.id):  # said once; later places leave room for figures
                lines.insert(0, Line("", step.say))
            for tried in moment.evidence:
                text, sign = indication_text(tried, gauge.unit, words)
                lines.insert(0, Line("", f"{text} {sign}"))
            figure = Figure(step.places[index], unit=unit, awaited=True)
            return Scene(
                words("task_measure", quantity=step.quantity), "", "", tuple(lines), figure
            )
        case DigitCheck(index=index, indication=indication):
            assert isinstance(step, MeasurementStep)
            text, sign = indication_text(
                indication, gauge_in_hand(context.procedure, state, step.gauge).unit, words
            )
            label = step.places[index] or step.quantity
            band = words("band_doubt")
            return Scene(words("task_digits"), "doubt", band, (), Figure(label, text, sign))
        case OutOfLimit(index=index):
            band = words("band_" + _verdict(context, state, step, index))
            found = _value_figure(context, state, step, index, words)
            return Scene(words("task_out"), "out", band, (), found)
        case DispositionReason(index=index, disposition=disposition):
            band = words("band_" + _verdict(context, state, step, index))
            task = words("task_reason", disposition=words("disposition_" + disposition))
            return Scene(task, "out", band, (), _value_figure(context, state, step, index, words))
        case Release(index=index, disposition=disposition, reason=reason, person=person):
            name = words("disposition_" + disposition)
            task = (
                words("task_decide", person=person)
                if person
                else words("task_release", disposition=name)
            )
            lines = [Line(words("line_reason"), reason)] if reason else []
            found = _value_figure(context, state, step, index, words)
            return Scene(task, "hold", words("band_release"), tuple(lines), found)
        case (
            Review() | Loosening() | TorqueAcknowledge() | Tightening() | Acknowledge() | Doing()
            | Manual() | ManualReadback() | Conditions() | ConditionReadback()
            | Spelled() | Choosing() | WaitOffered() | Waiting() | Inspecting() | Blocked()
            | Skipping() | GoingBack() | Noting() | ClockAsked() | RevisionHeard() | Stopping()
            | Ended()
        ):  # fmt: skip
            single = isinstance(step, DerivedStep) or len(state.values.get(step.id, {})) == 1
            shown = _value_figure(context, state, step, 0, words) if single else None
            if shown is not None:
                judged = words("verdict_" + _mark(state, step))
                label = words("figure_judged", label=shown.label, verdict=judged)
                shown = replace(shown, label=label)
            return Scene(words("task_review"), figure=shown)
        case _:
            assert_never(moment)


def _verdict(context: Context, state: State, step: LimitedStep, index: int) -> str:
    if isinstance(step, MeasurementStep):
        value = state.values.get(step.id, {}).get(step.places[index])
        if value is not None and value.judgement.verdict == "undecided":
            return "undecided"
    elif isinstance(step, DerivedStep):
        computed = estimate_of(context.procedure, state, step.id)
        if computed is not None and judgement_of(step, computed).verdict == "undecided":
            return "undecided"
    return "out"


def _mark(state: State, step: LimitedStep) -> str:
    """The verdict on a step's single value; past review it is in limits or released."""
    if "" in state.released.get(step.id, ()):
        return "released"
    return "no_limit" if step.limits.none else "in"


def _value_figure(
    context: Context, state: State, step: LimitedStep, index: int, words: BoardWords
) -> Figure | None:
    """The present value at position ``index`` of a step with limits; None when it has none."""
    if isinstance(step, MeasurementStep):
        name = step.places[index]
        value = state.values.get(step.id, {}).get(name)
        if value is None:
            return None
        unit = gauge_in_hand(context.procedure, state, step.gauge).unit
        text, sign = indication_text(value.indication, unit, words)
        return Figure(name or step.quantity, text, sign)
    derived = estimate_of(context.procedure, state, step.id)
    if derived is None or step.id not in state.derived:
        return None
    shown = shown_value(derived, step)
    return Figure(step.quantity, number(shown), symbol(shown.unit))


def shim_scene(context: Context, state: State, step: ShimStep, words: BoardWords) -> Scene:
    """The shims to be fitted, the very ones that the dialogue has told."""
    stack = shim_stack(Turn(context, state, at=""), step)  # only asked: nothing is collected
    if isinstance(stack, str):
        return Scene(words("task_blocked"), "hold", words("band_blocked"), (Line("", stack),))
    shims = " + ".join(number(shim) for shim in stack.shims) or words("shims_none")
    unit = symbol(stack.shims[0].unit) if stack.shims else ""
    left = digits_of(Turn(context, state, at=""), step)
    result = amount_text(left if left is not None else stack.result.to(step.unit))
    lines = (Line("", words("shims_result", quantity=step.quantity, result=result)),)
    figure = Figure(words("figure_shims"), shims, unit)
    return Scene(words("task_shims"), lines=lines, figure=figure)
