"""The figures of a tightening step in sentences."""

from __future__ import annotations

from assistant.procedure.kinds.tightening.model import TighteningStep
from assistant.procedure.kinds.tightening.plan import plan_of, tolerance_of
from assistant.procedure.naming import material, tool_name, words
from assistant.procedure.outline import Outline
from assistant.quantities.wrench import DEFAULT_SHARE, percent


def tightening_figures(procedure: Outline, step: TighteningStep) -> list[str]:
    """Torque, tolerance, turn, thread, passes, pattern, setting and bolt, a sentence each."""
    tolerance = f" plus or minus {step.tolerance}"
    if step.tolerance is None:
        tolerance = f" plus or minus {tolerance_of(step)} (none given; {percent(DEFAULT_SHARE)})"
    angle = f", then turn on by {step.angle}" if step.angle is not None else ""
    thread: str = step.thread
    if step.lubricant is not None:
        thread = f"lubricated with {material(procedure, step.lubricant)}"
    passes = ", ".join(
        f"{share * 100:.0f} % ({_share(step, index)})" for index, share in enumerate(step.passes)
    )
    return [
        f"TORQUE {step.target}{tolerance}{angle}, thread {thread}, "
        f"with {tool_name(procedure, step.tool)}.",
        f"Passes: {passes}.",
        f"Pattern {words(step.pattern)}; fasteners: {', '.join(step.fasteners)}.",
        *_setting(procedure, step),
    ]


def _setting(procedure: Outline, step: TighteningStep) -> list[str]:
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
