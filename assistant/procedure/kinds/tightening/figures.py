"""The figures of a tightening step in sentences."""

from __future__ import annotations

from typing import assert_never

from assistant.procedure.kinds.tightening.model import Stage, TighteningStep
from assistant.procedure.kinds.tightening.plan import plan_of, tolerance_of
from assistant.procedure.kinds.tightening.stages import (
    last_torque,
    stages_of,
    target_of,
    work_of,
)
from assistant.procedure.naming import material, tool_name
from assistant.procedure.outline import Outline
from assistant.quantities.wrench import DEFAULT_SHARE, percent
from assistant.shown_text import id_in_words


def tightening_figures(procedure: Outline, step: TighteningStep) -> list[str]:
    """Torque, tolerance, turn, thread, passes, pattern, setting and bolt, a sentence each."""
    return [
        *([] if last_torque(step) is None else [_torque(procedure, step)]),
        *(["LEFT-HAND THREAD: it tightens counterclockwise."] if step.left_hand else []),
        _stages(step) if step.stages else _passes(step),
        f"Pattern {id_in_words(step.pattern)}; fasteners: {', '.join(step.fasteners)}.",
        *_setting(procedure, step),
    ]


def _torque(procedure: Outline, step: TighteningStep) -> str:
    tolerance = f" plus or minus {step.tolerance}"
    if step.tolerance is None:
        tolerance = f" plus or minus {tolerance_of(step)} (none given; {percent(DEFAULT_SHARE)})"
    angle = f", then turn on by {step.angle}" if step.angle is not None else ""
    thread: str = step.thread
    if step.lubricant is not None:
        thread = f"lubricated with {material(procedure, step.lubricant)}"
    if step.locker is not None:
        thread += f" with thread locker {material(procedure, step.locker)}"
    least = f", the least, up to {step.up_to}" if step.up_to is not None else ""
    least = ", the least" if step.minimum and not least else least
    return (
        f"TORQUE {target_of(step)}{tolerance}{least}{angle}, thread {thread}, "
        f"with {tool_name(procedure, step.tool)}."
    )


def _passes(step: TighteningStep) -> str:
    told = ", ".join(
        f"{share * 100:.0f} % ({_share(step, index)})" for index, share in enumerate(step.passes)
    )
    return f"Passes: {told}."


def _stages(step: TighteningStep) -> str:
    told = "; ".join(f"{number}. {stage_words(stage)}" for number, stage in
                     enumerate(stages_of(step), start=1))  # fmt: skip
    return f"Passes, each over all fasteners: {told}."


def stage_words(stage: Stage) -> str:
    """What a stage does to each fastener, in a few words."""
    match work_of(stage):
        case "torque":
            told = f"to {stage.torque}"
            if stage.up_to is not None:
                told += f" at least, up to {stage.up_to}"
            elif stage.minimum:
                told += " at least"
            told += f", then at once a turn of {stage.turn}" if stage.turn is not None else ""
        case "turn":
            told = f"a further turn of {stage.turn}"
        case "loosen":
            told = f"loosen by {stage.loosen}"
        case "check":
            told = f"check at {stage.check}: none moves"
        case other:
            assert_never(other)
    return f"{told} ({id_in_words(stage.pattern)})" if stage.pattern is not None else told


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
        settings = ", ".join(str(each.setting) for each in plan if each is not None)
        lines.append(f"SET THE WRENCH TO: {settings}.")
    if step.bolt is not None:
        grade = step.bolt.grade
        kind = grade if grade.startswith("grade") else f"class {grade}"
        lines.append(f"Bolt {step.bolt.thread}, {kind}.")
    return lines


def _share(step: TighteningStep, index: int) -> str:
    torque = stages_of(step)[index].torque
    assert torque is not None
    return f"{float(torque.value):g} {torque.unit}"
