"""What the builder has to say: options, positions and labels that can be told apart by ear."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from assistant.procedure.checks.sounds import closeness, unknown_words
from assistant.procedure.finding import Findings
from assistant.procedure.models import (
    AnyStep,
    ChoiceStep,
    MeasurementStep,
    TighteningStep,
)

_SPOKEN = re.compile(r"[a-z]+('[a-z]+)?( [a-z]+('[a-z]+)?){0,4}")
_TOO_CLOSE = 0.8


def check_spoken(findings: Findings) -> None:
    """Phrases of a step must be dictionary words and must not sound the same."""
    for step in findings.procedure.steps:
        for key, phrases in _phrases(step):
            _check_spelling(findings, step, key, phrases)
            _check_apart(findings, step, key, phrases)
        if isinstance(step, ChoiceStep) and len(step.options) < 2:
            findings.error(step, "A choice needs at least two options.", "options")
    variants = [v.replace("_", " ") for v in findings.procedure.applicability.variants]
    _check_apart(findings, None, "applicability", variants)
    for name in variants:
        if not _SPOKEN.fullmatch(name) or unknown_words(name):
            findings.warn(
                None,
                f"The variant '{name}' is spoken, so name it in dictionary words.",
                *("applicability", "variants"),
            )


def _phrases(step: AnyStep) -> Iterable[tuple[str, Sequence[str]]]:
    if isinstance(step, ChoiceStep):
        yield "options", [o.say for o in step.options]
    if isinstance(step, MeasurementStep):
        yield "positions", step.positions
    if isinstance(step, TighteningStep):
        yield "fasteners", step.fasteners


def _check_spelling(findings: Findings, step: AnyStep, key: str, phrases: Sequence[str]) -> None:
    for phrase in phrases:
        if not _SPOKEN.fullmatch(phrase):
            findings.error(
                step,
                f"'{phrase}' in '{key}' is spoken by the builder; use one to five words in small "
                "letters, such as 'bolt one'.",
                key,
            )
        elif unknown := unknown_words(phrase):
            findings.warn(
                step,
                f"'{unknown[0]}' in '{key}' is not in the pronouncing dictionary, so the "
                "recogniser may never hear it; choose a common word.",
                key,
            )


def _check_apart(
    findings: Findings, step: AnyStep | None, key: str, phrases: Sequence[str]
) -> None:
    for index, phrase in enumerate(phrases):
        for other in phrases[:index]:
            close = 1.0 if phrase == other else closeness(phrase, other)
            if close == 1.0:
                findings.error(
                    step, f"'{other}' and '{phrase}' in '{key}' sound the same; rename one.", key
                )
            elif close >= _TOO_CLOSE:
                findings.warn(
                    step, f"'{other}' and '{phrase}' in '{key}' sound alike; rename one.", key
                )
