"""What a session is given and never changes: procedure, language, policy."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

from assistant.language.trust import Interprets, Policy
from assistant.procedure.models import Procedure
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.problem import Told


class Tongue(Interprets, Protocol):
    """What the core needs of a language; ``assistant.language.Language`` provides it."""

    def prompt(self, key: str, **params: object) -> str:
        """The prompt called ``key`` with its places filled."""

    def told(self, problem: Told) -> str:
        """A problem in words; a sentence stays as it is."""

    def command_help(self, command: str) -> str:
        """A short spoken help on a command."""

    def phrases_for(self, command: str) -> tuple[str, ...]:
        """Every phrase for a command."""

    def phrase_for(self, command: str) -> str:
        """The first phrase for a command."""

    def say_amount(self, amount: Amount, digits: bool = False) -> str:
        """An amount in words, followed by its digits when asked."""

    def say_unit(self, unit: str) -> str:
        """A unit in words, as of several."""

    def say_indication(self, indication: Indication) -> str:
        """An indication in words."""

    def say_digits(self, number: str) -> str:
        """A written number digit by digit."""

    def say_spelling(self, text: str) -> str:
        """Characters in the spelling alphabet."""


@dataclass(frozen=True)
class Context:
    """The unchanging surroundings of a session."""

    procedure: Procedure
    language: Tongue
    policy: Policy = field(default_factory=Policy)
