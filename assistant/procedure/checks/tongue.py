"""The command phrases and extra words of a procedure's language, read from its data files."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError

from assistant.resources import data_folder


def installed_languages() -> tuple[str, ...]:
    """The tags of all installed languages."""
    try:
        return tuple(sorted(p.name for p in data_folder("grammars").iterdir() if p.is_dir()))
    except FileNotFoundError:
        return ()


def language_folder(tag: str) -> Path | None:
    """The folder of the language ``tag``; None when it is not installed."""
    try:
        folder = data_folder("grammars") / tag
    except FileNotFoundError:
        return None
    plain = tag.replace("-", "").isalnum()  # no path may be smuggled in as a language
    return folder if plain and folder.is_dir() else None


@lru_cache(maxsize=8)
def command_phrases(tag: str) -> frozenset[str]:
    """Every phrase that is a command in language ``tag``; none when it is not installed."""
    folder = language_folder(tag)
    if folder is None or not (folder / "commands.yaml").is_file():
        return frozenset()
    try:
        data = YAML(typ="safe", pure=True).load((folder / "commands.yaml").read_text("utf-8"))
    except YAMLError:  # the language's own tests tell of that
        return frozenset()
    found: set[str] = set()
    for entry in data.values() if isinstance(data, dict) else ():
        for value in entry.values() if isinstance(entry, dict) else ():
            if isinstance(value, list):
                found.update(str(phrase) for phrase in value)
    return frozenset(found)


@lru_cache(maxsize=8)
def letter_phones(tag: str) -> Mapping[str, tuple[str, ...]]:
    """Letter -> its phones in a language that is written as it sounds; else none."""
    folder = language_folder(tag)
    if folder is None or not (folder / "letters.yaml").is_file():
        return {}
    try:
        data = YAML(typ="safe", pure=True).load((folder / "letters.yaml").read_text("utf-8"))
    except YAMLError:  # the language's own tests tell of that
        return {}
    return {str(letter): tuple(str(phones).split()) for letter, phones in data.items()}


def extra_words(tag: str) -> Path | None:
    """The language's own list of pronunciations; None when it has none."""
    folder = language_folder(tag)
    path = folder / "lexicon.dict" if folder is not None else None
    return path if path is not None and path.is_file() else None
