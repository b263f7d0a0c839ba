"""Which languages are installed: their data folders."""

from __future__ import annotations

from pathlib import Path

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
