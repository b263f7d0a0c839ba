"""Cautions, hold points and the document that governs."""

from __future__ import annotations

import re
from collections.abc import Sequence

from assistant.procedure.finding import Findings
from assistant.procedure.kinds import kind_of
from assistant.procedure.listed import NO_DATE
from assistant.procedure.step import LimitedStep, Step

_PLACEHOLDERS = {"TBD", "TBA", "TBC", "NA", "NONE", "TODO", "XX", "XXX", "DRAFT", "UNKNOWN"}
_UNFINISHED = re.compile(r"\b(TODO|TBD|TBC|FIXME|XXX)\b")
_WORDS_IN_A_CAUTION = 45  # about twenty seconds of speech; longer ones are not listened to

# What hurts hands, and the words that give it away (common practice, no source).
_HAZARDS: dict[str, re.Pattern[str]] = {
    "heat": re.compile(r"\b(heat|hot|oven|torch|boil\w*|induction heater|degrees celsius)\b"),
    "cold": re.compile(r"\b(dry ice|nitrogen|freez\w+)\b"),
    "a press or puller": re.compile(r"\b(press|pressing|arbor|puller|drive in|hammer)\b"),
    "lifting": re.compile(r"\b(lift|hoist|sling|crane|jack)\b"),
    "a spring under load": re.compile(r"\b(spring compressor|compress the spring|snap ring)\b"),
    "chemicals": re.compile(r"\b(solvent|cleaner|sealant|thread locker|adhesive|degrease\w*)\b"),
    "sharp shims": re.compile(r"\b(shims?|shim pack)\b"),
    "compressed air": re.compile(r"\b(compressed air|air gun|air line)\b"),
}
_NEGATED = re.compile(r"\b(without|no|do not|never)\s+(\w+\s+)?$")


def check_safety(findings: Findings) -> None:
    """Cautions where hands get hurt, a hold point, and whose word governs."""
    steps = findings.procedure.steps
    _check_governing(findings)
    if not any(kind_of(s).is_hold_point for s in steps):
        findings.warn(
            None, "No inspection step: nobody but the builder looks at the work.", "steps"
        )
    for place, step in enumerate(steps):
        _check_words(findings, step)
        if kind_of(step).announced(step) is not None and not _warned(steps[: place + 1]):
            findings.warn(
                step, "No caution at all comes before this tightening; say how hands get hurt."
            )
        _check_hazards(findings, steps, place)


def _check_governing(findings: Findings) -> None:
    governing = findings.procedure.governing
    if governing.revision in _PLACEHOLDERS:
        findings.error(
            None,
            f"The governing revision '{governing.revision}' stands for none; write the revision of "
            "the manual that this procedure was taken from.",
            *("governing", "revision"),
        )
    if _UNFINISHED.search(governing.title):
        findings.error(None, "The governing title is not written yet.", "governing", "title")
    if governing.date == NO_DATE:
        findings.error(
            None, "The governing date is not written yet; write that of the manual.",
            *("governing", "date"),
        )  # fmt: skip
    for section in ("gauges", "consumables", "parts"):
        for index, item in enumerate(getattr(findings.procedure, section)):
            if _UNFINISHED.search(item.name):
                findings.error(
                    None, f"The name of '{item.id}' is not written yet.", section, index, "name"
                )


def _warned(steps: Sequence[Step]) -> bool:
    return any(kind_of(s).is_caution or s.cautions for s in steps)


def _check_words(findings: Findings, step: Step) -> None:
    written = [("title", step.title), ("say", step.say), *kind_of(step).texts(step)]
    written.append(("picture", step.picture))
    written += [("cautions", caution) for caution in step.cautions]
    if isinstance(step, LimitedStep):
        written.append(("quantity", step.quantity))
    for key, text in written:
        if _UNFINISHED.search(text):
            findings.error(step, f"'{key}' still holds a note to the writer; finish it.", key)
    spoken = [("say", step.say)] if kind_of(step).is_caution else []
    spoken += [("cautions", c) for c in step.cautions]
    for key, text in spoken:
        if len(text.split()) > _WORDS_IN_A_CAUTION:
            findings.warn(
                step,
                f"A caution has {len(text.split())} words and is spoken in one go; keep to one "
                f"hazard and at most {_WORDS_IN_A_CAUTION} words, and make two of it.",
                key,
            )


def _check_hazards(findings: Findings, steps: Sequence[Step], place: int) -> None:
    """A step that names a hazard has a caution, or directly follows a caution step."""
    step = steps[place]
    if not kind_of(step).hands_on or step.cautions:
        return
    if place and kind_of(steps[place - 1]).is_caution:
        return
    text = f"{step.title}. {step.say}".lower()
    for hazard, pattern in _HAZARDS.items():
        told = [m for m in pattern.finditer(text) if not _NEGATED.search(text[: m.start()])]
        if told:
            findings.warn(
                step,
                f"'{told[0].group()}' speaks of {hazard}, but the step has no caution; add one.",
            )
            return
