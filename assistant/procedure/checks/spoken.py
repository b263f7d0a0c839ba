"""What the builder has to say: options, positions and labels that can be told apart by ear."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from assistant.procedure.checks.sounds import closeness, unknown_words
from assistant.procedure.checks.tongue import command_phrases, installed_languages, language_folder
from assistant.procedure.finding import Findings
from assistant.procedure.models import (
    AnyStep,
    ChoiceStep,
    MeasurementStep,
    TighteningStep,
)

_WORD = r"[^\W\d_]+(?:'[^\W\d_]+)?"  # of any script
_SPOKEN = re.compile(rf"{_WORD}(?: {_WORD}){{0,4}}")
_TOO_CLOSE = 0.8


def check_spoken(findings: Findings) -> None:
    """Phrases of a step must be dictionary words and must not sound the same."""
    tag = findings.procedure.language
    if language_folder(tag) is None:
        known = ", ".join(installed_languages())
        findings.error(
            None, f"The language '{tag}' is not installed; use one of: {known}.", "language"
        )
    for step in findings.procedure.steps:
        for key, phrases in _phrases(step):
            _check_spelling(findings, step, key, phrases)
            _check_apart(findings, step, key, phrases)
            _check_commands(findings, step, key, phrases)
        if isinstance(step, ChoiceStep) and len(step.options) < 2:
            findings.error(step, "A choice needs at least two options.", "options")
    variants = [v.replace("_", " ") for v in findings.procedure.applicability.variants]
    _check_apart(findings, None, "applicability", variants)
    for name in variants:
        if not _spoken(name) or unknown_words(name, tag):
            findings.warn(
                None,
                f"The variant '{name}' is spoken, so name it in dictionary words.",
                *("applicability", "variants"),
            )


def _spoken(phrase: str) -> bool:
    return phrase == phrase.lower() and _SPOKEN.fullmatch(phrase) is not None


def _phrases(step: AnyStep) -> Iterable[tuple[str, Sequence[str]]]:
    if isinstance(step, ChoiceStep):
        yield "options", [o.say for o in step.options]
    if isinstance(step, MeasurementStep):
        yield "positions", step.positions
    if isinstance(step, TighteningStep):
        yield "fasteners", step.fasteners


def _check_spelling(findings: Findings, step: AnyStep, key: str, phrases: Sequence[str]) -> None:
    for phrase in phrases:
        if not _spoken(phrase):
            findings.error(
                step,
                f"'{phrase}' in '{key}' is spoken by the builder; use one to five words in small "
                "letters, such as 'bolt one'.",
                key,
            )
        elif unknown := unknown_words(phrase, findings.procedure.language):
            findings.warn(
                step,
                f"'{unknown[0]}' in '{key}' is not in the pronouncing dictionary, so the "
                "recogniser may never hear it; choose a common word.",
                key,
            )


def _check_commands(findings: Findings, step: AnyStep, key: str, phrases: Sequence[str]) -> None:
    """A phrase that is also a command would be heard as the command, or the other way round."""
    commands = command_phrases(findings.procedure.language)
    for phrase in phrases:
        if phrase in commands:
            findings.error(
                step, f"'{phrase}' in '{key}' is a command of the assistant; rename it.", key
            )
            continue
        for command in sorted(commands):
            if closeness(phrase, command, findings.procedure.language) >= _TOO_CLOSE:
                findings.warn(
                    step,
                    f"'{phrase}' in '{key}' sounds like the command '{command}'; rename it.",
                    key,
                )


def _check_apart(
    findings: Findings, step: AnyStep | None, key: str, phrases: Sequence[str]
) -> None:
    for index, phrase in enumerate(phrases):
        for other in phrases[:index]:
            close = (
                1.0 if phrase == other else closeness(phrase, other, findings.procedure.language)
            )
            if close == 1.0:
                findings.error(
                    step, f"'{other}' and '{phrase}' in '{key}' sound the same; rename one.", key
                )
            elif close >= _TOO_CLOSE:
                findings.warn(
                    step, f"'{other}' and '{phrase}' in '{key}' sound alike; rename one.", key
                )
