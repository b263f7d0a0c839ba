"""Writes docs/commands.md: every command of every language, from ``grammars/<tag>/commands.yaml``.

Usage: ``python -m scripts.make_command_list``. A test compares the file with what this gives.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from assistant.dialogue.commands import ANYTIME
from assistant.language import Language

PAGE = Path(__file__).resolve().parent.parent / "docs" / "commands.md"
LANGUAGES = {"en-US": "English", "ko-KR": "Korean"}

_TOP = """# What you can say

Every command, and what it does. Beside these you say readings, positions, options and initials:
what the step asks for. "What can I say" names what fits now. A page for one procedure:
`assembly-assistant card PROCEDURE --pdf FILE`.

Written by `python -m scripts.make_command_list`.
"""


def _table(language: Language, commands: Iterable[str]) -> Iterator[str]:
    yield "| say | it does |"
    yield "|---|---|"
    for command in commands:
        phrases = ", ".join(f'"{phrase}"' for phrase in language.phrases_for(command))
        yield f"| {phrases} | {language.command_help(command)} |"


def command_list() -> str:
    """The page."""
    lines = [_TOP]
    for tag, name in LANGUAGES.items():
        language = Language.load(tag)
        elsewhere = (c for c in language.command_ids if c not in ANYTIME)
        lines += [f"## {name}: nearly everywhere", ""]
        lines += [*_table(language, (c for c in language.command_ids if c in ANYTIME)), ""]
        lines += [f"## {name}: where it fits", "", *_table(language, elsewhere), ""]
    return "\n".join(lines)


if __name__ == "__main__":
    PAGE.write_text(command_list(), encoding="utf-8")
