"""What the rule of trust needs of a language."""

from __future__ import annotations

from typing import Protocol

from assistant.language.spec import ListenSpec, Meaning


class Interprets(Protocol):
    """What the rule needs of a language; ``assistant.language.Language`` provides it."""

    def interpret(self, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
        """Distinct meanings of ``text`` under ``spec``."""

    def confusable_meanings(self, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
        """Meanings of phrases that sound close to ``text`` under ``spec``."""

    def twins(self, one: str, other: str) -> bool:
        """Whether two phrases sound so close that anybody may take one for the other."""

    def same_but_doubled(self, one: str, other: str, vowels: bool = True) -> bool:
        """Whether two phrases differ only by a sound that is doubled in one of them."""

    def sounds_apart(self, one: str, other: str) -> int:
        """How many sounds are put in, left out or changed between two phrases."""

    def two_numbers(self, text: str) -> bool:
        """Whether two numbers in figures stand side by side in ``text`` as if they were one."""
