"""Reads one language's folder: the JSGF files as one grammar, and the other data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

from assistant.language.jsgf_reader import read_jsgf
from assistant.language.pronouncing import Phones, read_dictionary
from assistant.language.recursion import refuse_inner_recursion
from assistant.language.tree import Grammar, GrammarError, Rule
from assistant.yaml_data import yaml_data
from assistant.yaml_events import YamlError


@dataclass(frozen=True)
class CommandWords:
    """What may be said for a command, the taught phrase first, and its spoken help.

    ``named`` is the phrase that is taught instead at a place of that name ("torque").
    """

    phrases: tuple[str, ...]
    help: str
    named: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class Sources:
    """Everything that a language's folder holds; equal only to itself, so that it can be a key."""

    name: str
    grammar: Grammar
    commands: Mapping[str, CommandWords]
    prompts: Mapping[str, str]
    speech: Mapping[str, object]
    lexicon: Mapping[str, tuple[Phones, ...]]
    letters: Mapping[str, Phones]
    problems: Mapping[str, str]
    figures: Mapping[str, tuple[str, ...]]


def read_folder(folder: Path, name: str) -> Sources:
    """Read the data of language ``name`` from ``folder``.

    Raises:
        GrammarError: a file is missing or faulty; says which, where and what to do.
    """
    if not folder.is_dir():
        raise GrammarError(f"There is no language '{name}' in {folder.parent}; choose another.")
    return Sources(
        name,
        _merge(folder, name),
        MappingProxyType(_commands(folder / "commands.yaml")),
        MappingProxyType(_flatten(_yaml(folder / "prompts.yaml"))),
        MappingProxyType(_yaml(folder / "speech.yaml")),
        MappingProxyType(read_dictionary(folder / "lexicon.dict")),
        MappingProxyType(_letters(folder / "letters.yaml")),
        MappingProxyType(_flatten(_yaml(folder / "problems.yaml"))),
        MappingProxyType(_figures(folder / "figures.yaml")),
    )


def _merge(folder: Path, name: str) -> Grammar:
    files = sorted(folder.glob("*.jsgf"))
    grammars = {f.name: read_jsgf(f.read_text("utf-8"), f.name) for f in files}
    names = {g.name for g in grammars.values()}
    rules: dict[str, Rule] = {}
    for file, grammar in grammars.items():
        for wanted in grammar.imports:
            source = wanted.rpartition(".")[0]
            if source not in names:
                raise GrammarError(
                    f"{file}: Import <{wanted}> needs a grammar called '{source}' in {folder}; "
                    "add it or drop the import."
                )
        for rule in grammar.rules.values():
            if rule.name in rules:
                first = rules[rule.name].place
                raise GrammarError(
                    f"{rule.place}: Rule <{rule.name}> is already defined at {first}; rename one."
                )
            rules[rule.name] = rule
    merged = Grammar(name, MappingProxyType(rules))
    refuse_inner_recursion(merged)
    return merged


def _yaml(path: Path) -> dict[str, object]:
    try:
        data = yaml_data(path.read_text("utf-8"))
    except FileNotFoundError:
        raise GrammarError(f"{path} is missing; install the package again.") from None
    except YamlError as fault:
        raise GrammarError(f"{path}:{fault.line or 1}: {fault.problem}; fix the YAML.") from None
    if not isinstance(data, dict):
        raise GrammarError(f"{path}:1: This file must map names to texts; fix it.")
    return {str(key): value for key, value in data.items()}


def _letters(path: Path) -> dict[str, Phones]:
    """Letter -> its phones; none where the language has no such file."""
    if not path.is_file():
        return {}
    return {letter: tuple(str(phones).split()) for letter, phones in _yaml(path).items()}


def _figures(path: Path) -> dict[str, tuple[str, ...]]:
    """Subject -> beginnings of the words that speak of it; none where there is no such file."""
    if not path.is_file():
        return {}
    found: dict[str, tuple[str, ...]] = {}
    for subject, words in _yaml(path).items():
        if not isinstance(words, list):
            raise GrammarError(f"{path}: '{subject}' must be a list of words; fix it.")
        found[subject] = tuple(map(str, words))
    return found


def _commands(path: Path) -> dict[str, CommandWords]:
    commands: dict[str, CommandWords] = {}
    for command, entry in _yaml(path).items():
        if not isinstance(entry, dict) or not entry.get("say") or not entry.get("help"):
            raise GrammarError(
                f"{path}: Command '{command}' needs its phrases (say) and help; add them."
            )
        phrases = tuple(map(str, entry["say"]))
        named = {str(place): str(phrase) for place, phrase in entry.get("named", {}).items()}
        for phrase in named.values():
            if phrase not in phrases:
                raise GrammarError(
                    f"{path}: Command '{command}' is named '{phrase}', which is none of "
                    "its phrases; add it to them."
                )
        commands[command] = CommandWords(phrases, str(entry["help"]), MappingProxyType(named))
    return commands


def _flatten(data: Mapping[str, object], prefix: str = "") -> dict[str, str]:
    flat: dict[str, str] = {}
    for key, value in data.items():
        if isinstance(value, dict):
            flat |= _flatten(value, f"{prefix}{key}.")
        else:
            flat[prefix + str(key)] = str(value)
    return flat
