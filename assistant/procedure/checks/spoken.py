"""What the builder has to say: options, positions and labels that can be told apart by ear."""

from __future__ import annotations

import re
from collections.abc import Sequence

from assistant.language import Language
from assistant.language.confusables import PHRASES_NEAR
from assistant.procedure.checks.installed import installed_languages, language_folder
from assistant.procedure.finding import Findings
from assistant.procedure.kinds import kind_of
from assistant.procedure.step import Step
from assistant.shown_text import id_in_words

_WORD = r"[^\W\d_]+(?:'[^\W\d_]+)?"  # of any script
_SPOKEN = re.compile(rf"{_WORD}(?: {_WORD}){{0,4}}")


def check_spoken(findings: Findings) -> None:
    """Phrases of a step must be dictionary words and must not sound the same."""
    tag = findings.procedure.language
    if language_folder(tag) is None:
        known = ", ".join(installed_languages())
        findings.error(
            None, f"The language '{tag}' is not installed; use one of: {known}.", "language"
        )
        return  # how its words sound is not known
    language = Language.load(tag)
    for step in findings.procedure.steps:
        for key, phrases in kind_of(step).phrases(step):
            _check_spelling(findings, language, step, key, phrases)
            if kind_of(step).phrases_count:
                _check_apart(findings, language, step, key, phrases)
            _check_commands(findings, language, step, key, phrases)
    variants = [id_in_words(v) for v in findings.procedure.applicability.variants]
    _check_apart(findings, language, None, "applicability", variants)
    for name in variants:
        if not _spoken(name) or _unknown(language, name):
            findings.warn(
                None,
                f"The variant '{name}' is spoken, so name it in dictionary words.",
                *("applicability", "variants"),
            )


def _spoken(phrase: str) -> bool:
    return phrase == phrase.lower() and _SPOKEN.fullmatch(phrase) is not None


def _unknown(language: Language, phrase: str) -> list[str]:
    """Words without a pronunciation; none when there is no dictionary."""
    known = language.pronunciations
    return [w for w in phrase.split() if w not in known] if known else []


def _check_spelling(
    findings: Findings, language: Language, step: Step, key: str, phrases: Sequence[str]
) -> None:
    for phrase in phrases:
        if not _spoken(phrase):
            findings.error(
                step,
                f"'{phrase}' in '{key}' is spoken by the builder; use one to five words in small "
                "letters, such as 'bolt one'.",
                key,
            )
        elif unknown := _unknown(language, phrase):
            findings.warn(
                step,
                f"'{unknown[0]}' in '{key}' is not in the pronouncing dictionary, so the "
                "recogniser may never hear it; choose a common word.",
                key,
            )


def _check_commands(
    findings: Findings, language: Language, step: Step, key: str, phrases: Sequence[str]
) -> None:
    """A phrase that is also a command would be heard as the command, or the other way round."""
    commands = {phrase for id in language.command_ids for phrase in language.phrases_for(id)}
    for phrase in phrases:
        if phrase in commands:
            findings.error(
                step, f"'{phrase}' in '{key}' is a command of the assistant; rename it.", key
            )
            continue
        for command in sorted(commands):
            if language.near(phrase, command, PHRASES_NEAR):
                findings.warn(
                    step,
                    f"'{phrase}' in '{key}' sounds like the command '{command}'; rename it.",
                    key,
                )


def _check_apart(
    findings: Findings, language: Language, step: Step | None, key: str, phrases: Sequence[str]
) -> None:
    for index, phrase in enumerate(phrases):
        for other in phrases[:index]:
            if not language.near(phrase, other, PHRASES_NEAR):
                continue
            if language.unlikeness(phrase, other) == 0:
                findings.error(
                    step, f"'{other}' and '{phrase}' in '{key}' sound the same; rename one.", key
                )
            else:
                findings.warn(
                    step, f"'{other}' and '{phrase}' in '{key}' sound alike; rename one.", key
                )
