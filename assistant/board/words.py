"""The board's own words: data of the language, beside its prompts."""

from __future__ import annotations

from pathlib import Path

from assistant.language.plurals import plural
from assistant.resources import data_folder
from assistant.yaml_data import yaml_data

_FALLBACK = "en-US"


class BoardWords:
    """Short words by key; a language that has no ``board.yaml`` of its own gets English."""

    def __init__(self, tag: str, texts: dict[str, str]) -> None:
        self.tag = tag
        self._texts = texts

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys that there are words for."""
        return tuple(self._texts)

    def __call__(self, key: str, **params: object) -> str:
        """The words of ``key`` with the places in braces filled; KeyError when it is unknown.

        Words that have forms are those for their ``count``.
        """
        return plural(self._texts, key, self.tag, params).format(**params)


def load_words(tag: str) -> BoardWords:
    """Read ``grammars/<tag>/board.yaml``.

    Raises:
        FileNotFoundError: the shipped grammars are missing altogether.
    """
    root = data_folder("grammars")
    own = root / tag / "board.yaml"
    if not own.is_file():
        tag, own = _FALLBACK, root / _FALLBACK / "board.yaml"
    return BoardWords(tag, _read(own))


def _read(path: Path) -> dict[str, str]:
    loaded = yaml_data(path.read_text(encoding="utf-8"))
    texts: dict[str, str] = {}
    for key, text in loaded.items():
        if isinstance(text, dict):
            texts |= {f"{key}.{form}": str(words) for form, words in text.items()}
        else:
            texts[str(key)] = str(text)
    return texts
