"""Pronunciations of trade words that the recogniser's own dictionary lacks.

The file is plain text in the form of the CMU pronouncing dictionary: a word, white space, its
ARPAbet phones; ``word(2)`` gives another pronunciation; ``#`` or ``;;;`` starts a comment.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from assistant.speech.errors import SpeechError

Pronunciations = Mapping[str, str | tuple[str, ...]]
"""Word -> its phones, or several variants of them, ARPAbet without stress marks."""

_LINE = re.compile(r"(?P<word>[^\s()]+)(?:\(\d+\))?\s+(?P<phones>[A-Z]+(?: [A-Z]+)*)")


def load_lexicon(source: Path | Pronunciations | None) -> dict[str, tuple[str, ...]]:
    """Return word -> pronunciations, most usual first.

    Raises:
        SpeechError: the file cannot be read, or a line of it is not a pronunciation.
    """
    if source is None:
        return {}
    if isinstance(source, Path):
        return _read(source)
    return {w: (p,) if isinstance(p, str) else tuple(p) for w, p in source.items()}


def _read(path: Path) -> dict[str, tuple[str, ...]]:
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except OSError as error:
        raise SpeechError(f"The word list {path} cannot be read: {error.strerror}.") from error
    found: dict[str, tuple[str, ...]] = {}
    for number, line in enumerate(lines, 1):
        text = re.split(r"#|;;;", line)[0].strip()
        if not text:
            continue
        entry = _LINE.fullmatch(re.sub(r"\s+", " ", text))
        if entry is None:
            raise SpeechError(
                f"{path}, line {number}: '{text}' is not a word and its phones, such as "
                "'thou TH AW'."
            )
        found[entry["word"]] = (*found.get(entry["word"], ()), entry["phones"])
    return found
