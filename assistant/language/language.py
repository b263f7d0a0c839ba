"""One spoken language: its grammars, commands, prompts and ways to say a value."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Any

from num2words import num2words
from ruamel.yaml import YAML

from assistant.language import matching, writing
from assistant.language.compiling import compile_spec
from assistant.language.confusables import Sounds, twins
from assistant.language.folding import fold
from assistant.language.jsgf import read_jsgf, write_jsgf
from assistant.language.spec import ListenSpec, Meaning
from assistant.language.tree import Node, words_of
from assistant.quantities.amount import Amount, Indication, format_number
from assistant.resources import data_folder


class Language:
    """Immutable once loaded; every reader walks over the same grammar tree."""

    def __init__(
        self,
        tag: str,
        rules: Mapping[str, Node],
        commands: Mapping[str, Any],
        data: Mapping[str, Any],
        prompts: Mapping[str, str],
        sounds: Sounds,
    ) -> None:
        self.tag = tag
        self._rules = rules
        self._commands = {c: tuple(v["say"]) for c, v in commands.items()}
        self._help = {c: str(v["help"]) for c, v in commands.items()}
        self._data = data
        self._prompts = prompts
        self._sounds = sounds
        self._written = tuple((str(a), str(b)) for a, b in data["written"])
        self.tree = lru_cache(maxsize=512)(self._tree)
        self.jsgf = lru_cache(maxsize=512)(self._jsgf)
        self.words = lru_cache(maxsize=512)(self._words)

    @classmethod
    def load(cls, tag: str = "en-US", folder: Path | None = None) -> Language:
        """Load the language ``tag`` from ``folder`` or from the shipped grammars."""
        place = folder or data_folder("grammars") / tag
        yaml = YAML(typ="safe")
        rules: dict[str, Node] = {}
        for path in sorted(place.glob("*.jsgf")):
            rules.update(read_jsgf(path.read_text(encoding="utf-8"), str(path)))

        def data(name: str) -> Any:
            return yaml.load((place / name).read_text(encoding="utf-8"))

        return cls(
            tag,
            rules,
            data("commands.yaml"),
            data("language.yaml"),
            data("prompts.yaml"),
            Sounds.load(place / "lexicon.dict"),
        )

    @property
    def command_ids(self) -> tuple[str, ...]:
        """Every command of the language."""
        return tuple(self._commands)

    def phrase_for(self, command: str) -> str:
        """The first phrase of a command."""
        return self._commands[command][0]

    def phrases_for(self, command: str) -> tuple[str, ...]:
        """Every phrase of a command."""
        return self._commands[command]

    def command_help(self, command: str) -> str:
        """A short spoken help on a command."""
        return self._help[command]

    def prompt(self, key: str, **params: object) -> str:
        """The prompt ``key`` with its places filled; ``{c_go_on}`` gives a command's phrase."""
        phrases = {f"c_{c}": p[0] for c, p in self._commands.items()}
        return self._prompts[key].format(**{**phrases, **params})

    def _tree(self, spec: ListenSpec) -> Node:
        return compile_spec(spec, self._commands, self._data["unit_rules"])

    def _jsgf(self, spec: ListenSpec) -> str:
        return write_jsgf(self._rules, self.tree(spec))

    def _words(self, spec: ListenSpec) -> tuple[str, ...]:
        return words_of(self._rules, self.tree(spec))

    def interpret(self, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
        """Distinct meanings of ``text`` under ``spec``; none when it does not parse.

        Written forms ("1.5 mm", "1/64") are read as their words, to any number of decimals.
        """
        words = text.lower()
        if any(ch.isdigit() for ch in words) or not words.replace(" ", "").isalpha():
            words = self.in_words(text)
            if spec.reading is not None:
                spec = replace(spec, reading=replace(spec.reading, max_decimals=6, high=None))
        elif any(sign in words.split() for sign, _ in self._written):
            words = self.in_words(text)
        return self._interpret(spec, tuple(words.split()))

    def _interpret(self, spec: ListenSpec, words: tuple[str, ...]) -> tuple[Meaning, ...]:
        found: dict[Meaning, None] = {}
        for tags in sorted(matching.parses(self._rules, self.tree(spec), words)):
            meaning = fold(spec, tags)
            if meaning is not None:
                found[meaning] = None
        return tuple(found)

    def in_words(self, text: str) -> str:
        """Written text in the grammar's words."""
        parts = {int(k): (v[0], v[1]) for k, v in self._data["parts"].items()}
        return writing.to_words(
            text, self._data["numbers_in_words"], self._written, parts, self._data["minus"]
        )

    def confusable_meanings(self, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
        """Meanings of what sounds close to ``text`` and may be said under ``spec``."""
        words = tuple(text.lower().split())
        own = self._interpret(spec, words)
        found: dict[Meaning, None] = {}
        for other in twins(self._sounds, words, self.words(spec)):
            for meaning in self._interpret(spec, other):
                if meaning not in own:
                    found[meaning] = None
        return tuple(found)

    def sample(self, spec: ListenSpec, rng: random.Random) -> str:
        """Something that may be said under ``spec``."""
        tree = self.tree(spec)
        while True:
            words = matching.sample(self._rules, tree, rng)
            if words and self._interpret(spec, words):
                return " ".join(words)

    def say_number(self, value: Fraction, decimals: int | None = None) -> str:
        """A number in words, its fraction digit by digit."""
        text = format_number(value, decimals)
        if "/" in text:
            text = f"{float(value):.6f}".rstrip("0").rstrip(".")
        minus = text.startswith("-")
        words = writing.spoken_number(text.lstrip("-"), self._data["numbers_in_words"])
        return f"{self._data['minus']} {words}" if minus else words

    def say_amount(self, amount: Amount, digits: bool = False) -> str:
        """An amount in words; with ``digits``, once more digit by digit after it."""
        names = self._data["unit_names"][amount.unit]
        name = names[0] if amount.value in (1, -1) else names[1]
        said = f"{self._say_value(amount)} {name}".strip()
        return f"{said}, {self.say_digits(amount.number())}" if digits else said

    def _say_value(self, amount: Amount) -> str:
        value = amount.value
        if amount.resolution is None and value.denominator in (16, 32, 64):
            names = self._data["parts"][value.denominator]
            top = num2words(value.numerator, lang=self._data["numbers_in_words"])
            return f"{top} {names[0 if value.numerator == 1 else 1]}".replace("-", " ")
        return self.say_number(value, amount.decimals())

    def say_indication(self, indication: Indication) -> str:
        """An indication in words."""
        value = self.say_amount(indication.amount)
        if indication.relation == "eq":
            return value
        upper = "" if indication.upper is None else self.say_amount(indication.upper)
        template: str = self._data["relations"][indication.relation]
        return template.format(value=value, upper=upper)

    def say_digits(self, number: str) -> str:
        """A written number digit by digit: ``1.50`` gives "one point five zero"."""
        names: list[str] = self._data["digits"]
        other = {".": self._data["point"], "-": self._data["minus"]}
        return " ".join(names[int(c)] if c.isdigit() else other[c] for c in number)

    def say_spelling(self, text: str) -> str:
        """Letters and digits in the spelling alphabet."""
        letters: dict[str, str] = self._data["letters"]
        digits: list[str] = self._data["digits"]
        return " ".join(digits[int(c)] if c.isdigit() else letters[c] for c in text.upper())
