"""Words that the assistant says, picked out of a language's grammar and speech data."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from assistant.language.network import Network
from assistant.language.speaking import SpeechWords
from assistant.language.tree import Grammar, GrammarError


def spoken_for(grammar: Grammar, rule: str, key: str) -> dict[str, str]:
    """Value of tag ``key`` -> the first word of ``rule`` that carries it, in the data's order."""
    found: dict[str, str] = {}
    network = Network(grammar, rule)
    for spoken in network.enumerate(1):
        for tags in network.match(spoken):
            for tag in tags:
                name, _, value = tag.partition(":")
                if name == key and spoken:
                    found.setdefault(value, spoken[0])
    return found


def speech_words(data: Mapping[str, object]) -> SpeechWords:
    """The typed view of ``speech.yaml``.

    Raises:
        GrammarError: an entry is missing.
    """
    try:
        units = cast("Mapping[object, list[str]]", data["units"])
        fractions = cast("Mapping[int, list[str]]", data["fractions"])
        return SpeechWords(
            numerals=str(data["numerals"]),
            minus=str(data["minus"]),
            point=str(data["point"]),
            about=str(data["about"]),
            joint=str(data["and"]),
            says_zero=bool(data["zero_before_point"]),
            amount=str(data["amount"]),
            with_digits=str(data["with_digits"]),
            indication=cast("Mapping[str, str]", data["indication"]),
            units={str(code): (one, many) for code, (one, many) in units.items()},
            fractions={int(below): (one, many) for below, (one, many) in fractions.items()},
            fraction_units=frozenset(cast("list[str]", data["fraction_units"])),
        )
    except KeyError as missing:
        raise GrammarError(f"speech.yaml lacks the entry {missing}; add it.") from None


def run_together(data: Mapping[str, object]) -> frozenset[str]:
    """Letters that are words of their own and may be written without a space between them."""
    return frozenset(str(data.get("run_together", "")))


def typed_forms(data: Mapping[str, object]) -> Mapping[str, str]:
    """Typed form -> words of the grammar."""
    forms = cast("Mapping[object, object]", data.get("typed", {}))
    return {str(typed): str(spoken) for typed, spoken in forms.items()}
