"""The figures of each kind of step in sentences: limits, torques, settings, shims."""

from __future__ import annotations

from typing import assert_never

from assistant.procedure.models import (
    ActionStep,
    AnyStep,
    CautionStep,
    ChoiceStep,
    DerivedStep,
    IdentificationStep,
    InspectionStep,
    LimitedStep,
    MeasurementStep,
    Procedure,
    ShimStep,
    TighteningStep,
    WaitStep,
)
from assistant.procedure.wrench_plan import plan_of, tolerance_of
from assistant.quantities.wrench import DEFAULT_SHARE, percent


def step_details(procedure: Procedure, step: AnyStep) -> list[str]:
    """The figures of a step, a sentence each."""
    match step:
        case ActionStep():
            return _action(procedure, step)
        case MeasurementStep():
            places = f" at {', '.join(step.positions)}" if step.positions else ""
            return [
                f"Measure {step.quantity} in {step.unit}{places}"
                f" with {_tool(procedure, step.gauge)}.",
                _limits(step),
            ]
        case DerivedStep():
            names = ", ".join(
                f"{name} = {words(step.combine)} of {titles(procedure, (source,))[0]}"
                for name, source in step.inputs.items()
            )
            return [
                f"{step.quantity} in {step.unit} = {step.formula}, where {names}.",
                _limits(step),
            ]
        case ShimStep():
            gap = titles(procedure, (step.gap,))[0]
            way = "to open" if step.effect == "open" else "for"
            return [
                f"Choose shims from {_tool(procedure, step.stock)} {way} {gap}, so that the "
                f"{step.quantity} in {step.unit} comes within its limits.",
                _limits(step),
            ]
        case TighteningStep():
            return _tightening(procedure, step)
        case IdentificationStep():
            form = f", form {step.form}" if step.form else ""
            return [f"Record the {words(step.what)} of {_part_name(procedure, step.part)}{form}."]
        case ChoiceStep():
            return ["Answers: " + ", ".join(o.say for o in step.options) + "."]
        case WaitStep():
            meanwhile = ", ".join(titles(procedure, step.meanwhile)) or "nothing"
            return [f"Wait {step.duration}. Meanwhile: {meanwhile}."]
        case InspectionStep():
            return [f"HOLD POINT. A second person accepts when: {step.criteria}"]
        case CautionStep():
            return ["To be acknowledged before anything that follows."]
        case _:
            assert_never(step)


def _action(procedure: Procedure, step: ActionStep) -> list[str]:
    lines = []
    if step.parts:
        lines.append("Parts: " + ", ".join(_part_name(procedure, p) for p in step.parts) + ".")
    if step.materials:
        lines.append("Use: " + ", ".join(_material(procedure, m) for m in step.materials) + ".")
    if step.orientation:
        lines.append("Which way round: " + step.orientation)
    if step.expect:
        lines.append("You should find: " + step.expect)
    return lines


def _tightening(procedure: Procedure, step: TighteningStep) -> list[str]:
    tolerance = f" plus or minus {step.tolerance}"
    if step.tolerance is None:
        tolerance = f" plus or minus {tolerance_of(step)} (none given; {percent(DEFAULT_SHARE)})"
    angle = f", then turn on by {step.angle}" if step.angle is not None else ""
    thread: str = step.thread
    if step.lubricant is not None:
        thread = f"lubricated with {_material(procedure, step.lubricant)}"
    passes = ", ".join(
        f"{share * 100:.0f} % ({_share(step, index)})" for index, share in enumerate(step.passes)
    )
    return [
        f"TORQUE {step.target}{tolerance}{angle}, thread {thread}, "
        f"with {_tool(procedure, step.tool)}.",
        f"Passes: {passes}.",
        f"Pattern {words(step.pattern)}; fasteners: {', '.join(step.fasteners)}.",
        *_setting(procedure, step),
    ]


def _setting(procedure: Procedure, step: TighteningStep) -> list[str]:
    """What makes the setting differ from the torque, and the bolt it is for."""
    lines = []
    if step.prevailing is not None:
        lines.append(f"Add the prevailing torque {step.prevailing} of the locking nuts.")
    if step.adapter is not None:
        lines.append(
            f"Adapter {step.adapter.extension} on a wrench of {step.adapter.length}, at "
            f"{step.adapter.angle} to it."
        )
    plan = plan_of(procedure, step)
    if lines and isinstance(plan, tuple):
        settings = ", ".join(str(each.setting.setting) for each in plan)
        lines.append(f"SET THE WRENCH TO: {settings}.")
    if step.bolt is not None:
        grade = step.bolt.grade
        kind = grade if grade.startswith("grade") else f"class {grade}"
        lines.append(f"Bolt {step.bolt.thread}, {kind}.")
    return lines


def _share(step: TighteningStep, index: int) -> str:
    top, bottom = step.passes[index].as_integer_ratio()
    value = step.target.value * top / bottom
    return f"{float(value):g} {step.target.unit}"


def _limits(step: LimitedStep) -> str:
    guarded = ", guarded by the uncertainty" if step.rule == "guarded" else ""
    return f"LIMITS: {step.limits}{guarded}."


def _part_name(procedure: Procedure, part: str) -> str:
    return next((p.name for p in procedure.parts if p.id == part), part)


def _material(procedure: Procedure, material: str) -> str:
    return next((c.name for c in procedure.consumables if c.id == material), material)


def _tool(procedure: Procedure, gauge: str) -> str:
    return next((g.name for g in procedure.gauges if g.id == gauge), gauge)


def titles(procedure: Procedure, ids: tuple[str, ...]) -> list[str]:
    """The titles of the steps ``ids``; an unknown id stands for itself."""
    known = {s.id: s.title for s in procedure.steps}
    return [known.get(i, i) for i in ids]


def words(name: str) -> str:
    """An id in words: ``lip_seal`` is ``lip seal``."""
    return name.replace("_", " ")
