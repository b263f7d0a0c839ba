"""A procedure as plain text that prints on any printer: cautions, limits and torques included."""

from __future__ import annotations

from textwrap import wrap

from assistant.procedure.kinds import kind_of
from assistant.procedure.listed import Gauge
from assistant.procedure.models import Procedure
from assistant.procedure.naming import titles
from assistant.procedure.step import Condition, Step
from assistant.shown_text import id_in_words

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


def describe_step(procedure: Procedure, step: Step, number: int) -> list[str]:
    """One step as lines: its heading, conditions, cautions, words and figures."""
    reference = f" (section {step.reference})" if step.reference else ""
    lines = _lines(f"{number}. {step.title} [{step.kind}]{reference}", 0)
    if step.when is not None:
        lines += _lines("Only when " + condition_words(step.when) + ".", 3)
    if step.after:
        lines += _lines("After: " + ", ".join(titles(procedure, step.after)) + ".", 3)
    for caution in step.cautions:
        lines += _lines("! CAUTION: " + caution, 3)
    mark = "! CAUTION: " if kind_of(step).is_caution else ""
    lines += _lines(mark + step.say, 3)
    if step.picture:
        lines += _lines(f"PICTURE NEEDED: {step.picture}", 3)
    for detail in kind_of(step).figures(procedure, step):
        lines += _lines(detail, 3)
    return lines


def condition_words(condition: Condition) -> str:
    """A condition in words, such as ``parts new and choice seal kind is felt ring``."""
    parts = []
    if condition.variant:
        parts.append("variant " + " or ".join(id_in_words(v) for v in condition.variant))
    if condition.parts is not None:
        parts.append(f"parts {condition.parts}")
    parts += [f"choice {id_in_words(k)} is {id_in_words(v)}" for k, v in condition.choice.items()]
    parts += [
        f"reading {id_in_words(k)} is {'within' if v == 'in' else 'outside'} its limits"
        for k, v in condition.reading.items()
    ]
    parts += [
        f"value {id_in_words(k).replace('.', ', ')} is {v}" for k, v in condition.value.items()
    ]
    return " and ".join(parts) if parts else "always"


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


def _lines(text: str, indent: int) -> list[str]:
    margin = " " * indent
    return wrap(
        " ".join(text.split()), WIDTH, initial_indent=margin, subsequent_indent=margin + "  "
    )
