"""Pronouncing dictionaries in the CMU format: a word, then its phones in ARPABET."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

Phones = tuple[str, ...]

_BUNDLED = ("model", "en-us", "cmudict-en-us.dict")


def read_dictionary(path: Path) -> dict[str, tuple[Phones, ...]]:
    """Word -> its pronunciations, in the order of the file; empty when there is no such file.

    Further pronunciations are marked as ``word(2)``; lines that start with ``#`` or ``;`` are
    comments.
    """
    if not path.is_file():
        return {}
    found: dict[str, tuple[Phones, ...]] = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        word, _, phones = line.partition(" ")
        if not word or word[0] in "#;":
            continue
        word = word.split("(")[0]
        found[word] = (*found.get(word, ()), tuple(phones.split()))
    return found


@lru_cache(maxsize=1)
def bundled_dictionary() -> Mapping[str, tuple[Phones, ...]]:
    """The dictionary in PocketSphinx's wheel; empty where that is not installed."""
    spec = find_spec("pocketsphinx")
    if spec is None or spec.origin is None:
        return {}
    return read_dictionary(Path(spec.origin).parent.joinpath(*_BUNDLED))
