"""A procedure as plain text that prints on any printer: cautions, limits and torques included."""

from __future__ import annotations

from textwrap import wrap

from assistant.procedure.models import (
    ActionStep,
    AnyStep,
    CautionStep,
    ChoiceStep,
    Condition,
    DerivedStep,
    Gauge,
    IdentificationStep,
    InspectionStep,
    LimitedStep,
    MeasurementStep,
    Procedure,
    ShimStep,
    TighteningStep,
    WaitStep,
)
from assistant.procedure.wrench_plan import plan_of

WIDTH = 88
_GOVERNS = (
    "The maker's current manual, local codes and licensed practice govern; this text does not "
    "replace them."
)


def describe(procedure: Procedure) -> str:
    """The whole procedure as plain text, ``WIDTH`` columns wide, ending in a line break."""
    lines = [procedure.title, "=" * min(WIDTH, len(procedure.title)), ""]
    lines += _lines(f"Procedure {procedure.id}, revision {procedure.revision}.", 0)
    lines += _lines(f"Governed by: {governing_line(procedure)}.", 0)
    lines += [*_lines(_GOVERNS, 0), ""]
    if procedure.applicability.variants:
        lines += _lines("Variants: " + ", ".join(procedure.applicability.variants), 0)
    lines += [*_lines("Parts covered: " + ", ".join(procedure.applicability.parts), 0), ""]
    for heading, items in (
        ("Tools and gauges", [_gauge(g) for g in procedure.gauges]),
        ("Consumables", [c.name for c in procedure.consumables]),
        ("Parts", [_part(p.name, p.quantity, p.marked) for p in procedure.parts]),
    ):
        if items:
            lines += [heading, *(line for item in items for line in _lines("- " + item, 2)), ""]
    lines.append("Steps")
    for number, step in enumerate(procedure.steps, 1):
        lines += ["", *describe_step(procedure, step, number)]
    return "\n".join(lines) + "\n"


def governing_line(procedure: Procedure) -> str:
    """The governing document in one line: title, revision, date."""
    governing = procedure.governing
    return f"{governing.title}, revision {governing.revision}, {governing.date}"


def describe_step(procedure: Procedure, step: AnyStep, number: int) -> list[str]:
    """One step as lines: its heading, conditions, cautions, words and figures."""
    reference = f" (section {step.reference})" if step.reference else ""
    lines = _lines(f"{number}. {step.title} [{step.kind}]{reference}", 0)
    if step.when is not None:
        lines += _lines("Only when " + condition_words(step.when) + ".", 3)
    if step.after:
        lines += _lines("After: " + ", ".join(_titles(procedure, step.after)) + ".", 3)
    for caution in step.cautions:
        lines += _lines("! CAUTION: " + caution, 3)
    mark = "! CAUTION: " if isinstance(step, CautionStep) else ""
    lines += _lines(mark + step.say, 3)
    for detail in step_details(procedure, step):
        lines += _lines(detail, 3)
    return lines


def condition_words(condition: Condition) -> str:
    """A condition in words, such as ``parts new and choice seal kind is felt ring``."""
    parts = []
    if condition.variant:
        parts.append("variant " + " or ".join(_words(v) for v in condition.variant))
    if condition.parts is not None:
        parts.append(f"parts {condition.parts}")
    parts += [f"choice {_words(k)} is {_words(v)}" for k, v in condition.choice.items()]
    parts += [
        f"reading {_words(k)} is {'within' if v == 'in' else 'outside'} its limits"
        for k, v in condition.reading.items()
    ]
    return " and ".join(parts) if parts else "always"


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
                f"{name} = {step.combine} of {_titles(procedure, (source,))[0]}"
                for name, source in step.inputs.items()
            )
            return [
                f"{step.quantity} in {step.unit} = {step.formula}, where {names}.",
                _limits(step),
            ]
        case ShimStep():
            gap = _titles(procedure, (step.gap,))[0]
            return [
                f"Choose shims from {_tool(procedure, step.stock)} for {gap}, so that the "
                f"{step.quantity} in {step.unit} comes within its limits.",
                _limits(step),
            ]
        case TighteningStep():
            return _tightening(procedure, step)
        case IdentificationStep():
            form = f", form {step.form}" if step.form else ""
            return [f"Record the {_words(step.what)} of {_part_name(procedure, step.part)}{form}."]
        case ChoiceStep():
            return ["Answers: " + ", ".join(o.say for o in step.options) + "."]
        case WaitStep():
            meanwhile = ", ".join(_titles(procedure, step.meanwhile)) or "nothing"
            return [f"Wait {step.duration}. Meanwhile: {meanwhile}."]
        case InspectionStep():
            return [f"HOLD POINT. A second person accepts when: {step.criteria}"]
        case CautionStep():
            return ["To be acknowledged before anything that follows."]


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
    tolerance = f" plus or minus {step.tolerance}" if step.tolerance is not None else ""
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
        f"Pattern {_words(step.pattern)}; fasteners: {', '.join(step.fasteners)}.",
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
        lines.append(f"Bolt {step.bolt.thread}, class {step.bolt.grade}.")
    return lines


def _share(step: TighteningStep, index: int) -> str:
    top, bottom = step.passes[index].as_integer_ratio()
    value = step.target.value * top / bottom
    return f"{float(value):g} {step.target.unit}"


def _limits(step: LimitedStep) -> str:
    guarded = ", guarded by the gauge's uncertainty" if step.rule == "guarded" else ""
    return f"LIMITS: {step.limits}{guarded}."


def _gauge(gauge: Gauge) -> str:
    text = f"{gauge.name}: reads {gauge.resolution}"
    if gauge.kind == "shim_set" and gauge.members:
        text = f"{gauge.name}: {', '.join(map(str, gauge.members))}"
    if gauge.lower is not None and gauge.upper is not None:
        text += f", range {gauge.lower} to {gauge.upper}"
    if gauge.uncertainty is not None:
        text += f", uncertainty {gauge.uncertainty} (k = 2)"
    return text


def _part(name: str, quantity: int, marked: bool) -> str:
    return f"{quantity} x {name}" + (" (number to be recorded)" if marked else "")


def _part_name(procedure: Procedure, part: str) -> str:
    return next((p.name for p in procedure.parts if p.id == part), part)


def _material(procedure: Procedure, material: str) -> str:
    return next((c.name for c in procedure.consumables if c.id == material), material)


def _tool(procedure: Procedure, gauge: str) -> str:
    return next((g.name for g in procedure.gauges if g.id == gauge), gauge)


def _titles(procedure: Procedure, ids: tuple[str, ...]) -> list[str]:
    titles = {s.id: s.title for s in procedure.steps}
    return [titles.get(i, i) for i in ids]


def _words(name: str) -> str:
    return name.replace("_", " ")


def _lines(text: str, indent: int) -> list[str]:
    margin = " " * indent
    return wrap(
        " ".join(text.split()), WIDTH, initial_indent=margin, subsequent_indent=margin + "  "
    )
