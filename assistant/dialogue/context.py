"""What a session is given and never changes: procedure, language, policy."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from assistant.language.spec import ListenSpec, Meaning
from assistant.procedure.models import Procedure
from assistant.quantities.amount import Amount, Indication


class Tongue(Protocol):
    """What the core needs of a language; ``assistant.language.Language`` provides it."""

    def interpret(self, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
        """Distinct meanings of ``text`` under ``spec``."""

    def confusable_meanings(self, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
        """Meanings of phrases that sound close to ``text`` under ``spec``."""

    def twins(self, one: str, other: str) -> bool:
        """Whether two phrases sound so close that anybody may take one for the other."""

    def prompt(self, key: str, **params: object) -> str:
        """The prompt called ``key`` with its places filled."""

    def command_help(self, command: str) -> str:
        """A short spoken help on a command."""

    def phrases_for(self, command: str) -> tuple[str, ...]:
        """Every phrase for a command."""

    def phrase_for(self, command: str) -> str:
        """The first phrase for a command."""

    def say_amount(self, amount: Amount, digits: bool = False) -> str:
        """An amount in words, followed by its digits when asked."""

    def say_indication(self, indication: Indication) -> str:
        """An indication in words."""

    def say_digits(self, number: str) -> str:
        """A written number digit by digit."""

    def say_spelling(self, text: str) -> str:
        """Characters in the spelling alphabet."""


@dataclass(frozen=True)
class Policy:
    """When the core trusts its ears. Thresholds come from the evaluation bench.

    Below ``reject`` an utterance does nothing but a chime; nor does, below ``advance``, a command
    that moves the work on; a reading below ``sure`` must be
    confirmed digit by digit. ``ask_confusable`` asks when a value has a near-sounding twin;
    ``second_settles`` leaves that question out where a second listener compared every such twin
    with the sound. Where it compared anything, the value must lead all else by ``lead`` nats of
    both listeners together (``Recognition.weighed``), and what sounds almost the same by
    ``twin_lead``: both listeners may take "ninety" for "nineteen".
    """

    reject: float = 0.5
    advance: float = 0.7
    sure: float = 0.8
    ask_confusable: bool = True
    second_settles: bool = True
    lead: float = 4.0
    twin_lead: float = 7.0


@dataclass(frozen=True)
class Context:
    """The unchanging surroundings of a session."""

    procedure: Procedure
    language: Tongue
    policy: Policy = Policy()
