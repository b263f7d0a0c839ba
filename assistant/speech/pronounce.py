"""Respells trade words before they are spoken, from a small table of the language."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError

from assistant.resources import data_folder
from assistant.speech.errors import SpeechError

FILE_NAME = "pronounce.yaml"


class Respelling:
    """Replaces whole words, whatever their case, by a spelling that a synthesiser says right."""

    def __init__(self, table: Mapping[str, str]) -> None:
        self._table = {word.lower(): spelling for word, spelling in table.items()}
        # The longest first, so that "O-ring seal" wins over "O-ring".
        words = sorted(self._table, key=len, reverse=True)
        one_of = "|".join(map(re.escape, words)) or r"(?!)"
        self._pattern = re.compile(rf"(?<![\w-])(?:{one_of})(?![\w-])", re.IGNORECASE)

    @staticmethod
    def of_language(language: str) -> Respelling:
        """The table shipped for ``language``; an empty one when there is none.

        Raises:
            SpeechError: the table is not words and spellings.
        """
        path = data_folder("grammars") / language / FILE_NAME
        return Respelling(_read(path) if path.is_file() else {})

    def __call__(self, text: str) -> str:
        """``text`` as the synthesiser should be given it."""
        return self._pattern.sub(lambda found: self._table[found[0].lower()], text)


def _read(path: Path) -> dict[str, str]:
    try:
        table = YAML(typ="safe").load(path)
    except YAMLError as error:
        raise SpeechError(f"{path} is not readable as YAML; put it right: {error}.") from error
    if not isinstance(table, dict) or not all(isinstance(v, str) for v in table.values()):
        raise SpeechError(f"{path} must hold lines of 'word: spelling' only.")
    return {str(word): spelling for word, spelling in table.items()}
