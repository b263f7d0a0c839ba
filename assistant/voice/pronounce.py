"""Respells trade words and trade notation before they are spoken, from a language's own table."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import partial
from pathlib import Path

from assistant.resources import data_folder
from assistant.speech.errors import SpeechError
from assistant.yaml_data import yaml_data
from assistant.yaml_events import YamlError

FILE_NAME = "pronounce.yaml"

# What a place in a pattern stands for.
_PLACES = {
    "number": r"\d+(?:\.\d+)?",
    "whole": r"\d+",
    "letter": r"[A-Za-z]",
    "letters": r"[A-Z]{1,4}",
    "fraction": r"\d+/\d+",
}
_PLACE = re.compile(r"\{(\w+)\}")
# No notation begins or ends within a word or a number; a full stop after it is not a decimal point.
_BEFORE, _AFTER = r"(?<![\w.\-/])", r"(?![\w/]|[.\-]\w)"


class Respelling:
    """Replaces whole words, whatever their case, by a spelling that a synthesiser says right.

    ``patterns`` do the same for notation: ``M{number}x{number}`` is said ``M {1} by {2}``. Places
    are number, whole, letter, letters (spelled out) and fraction; a space in a pattern stands for
    any space or none. ``fractions`` names denominators: ``{"8": ["eighth", "eighths"]}``; other
    fractions stay as they are written.

    Raises:
        SpeechError: a pattern names a place that there is not, or says one that it has not.
    """

    def __init__(
        self,
        table: Mapping[str, str],
        patterns: Mapping[str, str] | None = None,
        fractions: Mapping[str, tuple[str, str]] | None = None,
    ) -> None:
        self._table = {word.lower(): spelling for word, spelling in table.items()}
        # The longest first, so that "O-ring seal" wins over "O-ring".
        words = sorted(self._table, key=len, reverse=True)
        one_of = "|".join(map(re.escape, words)) or r"(?!)"
        self._words = re.compile(rf"(?<![\w-])(?:{one_of})(?![\w-])", re.IGNORECASE)
        self._fractions = dict(fractions or {})
        longest = sorted((patterns or {}).items(), key=lambda item: len(item[0]), reverse=True)
        self._patterns = [(*_compiled(written), said) for written, said in longest]
        for _, places, said in self._patterns:
            if any(not 0 < int(n) <= len(places) for n in _PLACE.findall(said)):
                raise SpeechError(f"'{said}' in {FILE_NAME} says a place that its pattern lacks.")

    @staticmethod
    def of_language(language: str) -> Respelling:
        """The table shipped for ``language``; an empty one when there is none.

        Raises:
            SpeechError: the table is not of the form that its own head explains.
        """
        path = data_folder("grammars") / language / FILE_NAME
        return _read(path) if path.is_file() else Respelling({})

    def __call__(self, text: str) -> str:
        """``text`` as the synthesiser should be given it."""
        for pattern, places, said in self._patterns:
            text = pattern.sub(partial(self._say, places, said), text)
        return self._words.sub(lambda found: self._table[found[0].lower()], text)

    def _say(self, places: list[str], said: str, found: re.Match[str]) -> str:
        spoken = [self._place(kind, found[i]) for i, kind in enumerate(places, 1)]
        if None in spoken:
            return found[0]
        return _PLACE.sub(lambda place: str(spoken[int(place[1]) - 1]), said)

    def _place(self, kind: str, written: str) -> str | None:
        if kind == "letters":
            return " ".join(written)
        if kind != "fraction":
            return written
        above, _, below = written.partition("/")
        names = self._fractions.get(below)
        return None if names is None else f"{above} {names[0 if above == '1' else 1]}"


def _compiled(written: str) -> tuple[re.Pattern[str], list[str]]:
    places = _PLACE.findall(written)
    unknown = [place for place in places if place not in _PLACES]
    if unknown:
        raise SpeechError(
            f"'{written}' in {FILE_NAME} names a place '{unknown[0]}'; choose one of: "
            f"{', '.join(_PLACES)}."
        )
    parts = _PLACE.split(written)
    # Odd parts are places, even ones text.
    body = "".join(
        f"({_PLACES[part]})" if at % 2 else r"\s*".join(map(re.escape, part.split(" ")))
        for at, part in enumerate(parts)
    )
    return re.compile(f"{_BEFORE}{body}{_AFTER}"), places


def _read(path: Path) -> Respelling:
    try:
        table = yaml_data(path.read_text(encoding="utf-8"))
    except (YamlError, UnicodeDecodeError) as error:
        raise SpeechError(f"{path} is not readable as YAML; fix it: {error}.") from error
    parts = table if isinstance(table, dict) else {"": None}
    if parts and all(isinstance(spelling, str) for spelling in parts.values()):
        parts = {"words": parts}  # a table of words alone needs no heading
    words, patterns = parts.get("words") or {}, parts.get("patterns") or {}
    fractions = parts.get("fractions") or {}
    texts = [*words.values(), *patterns.values()] if _maps(words, patterns, fractions) else [None]
    if set(parts) - {"words", "patterns", "fractions"} or not all(
        isinstance(text, str) for text in texts
    ):
        raise SpeechError(
            f"{path} must hold lines of 'written: spoken' only, alone or under 'words', "
            "'patterns' and 'fractions'."
        )
    return Respelling(
        {str(word): spelling for word, spelling in words.items()},
        {str(written): said for written, said in patterns.items()},
        {str(below): (str(names[0]), str(names[1])) for below, names in fractions.items()},
    )


def _maps(*parts: object) -> bool:
    return all(isinstance(part, dict) for part in parts)
