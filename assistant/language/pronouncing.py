"""Pronouncing dictionaries in the CMU format: a word, then its phones in ARPABET."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from unicodedata import normalize

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


class SoundedOut(Mapping[str, tuple[Phones, ...]]):
    """A dictionary that sounds out a word it lacks, letter by letter.

    ``letters`` maps letters, as Unicode's canonical decomposition (UAX 15, form D) gives them, to
    phones. Hangul syllables decompose into their initial, vowel and final (Unicode 3.12), each a
    letter of its own, so that a final may have another phone than the same initial. A word with
    a letter that is not in ``letters`` stays unknown.
    """

    def __init__(
        self, known: Mapping[str, tuple[Phones, ...]], letters: Mapping[str, Phones]
    ) -> None:
        self._known = known
        self._letters = {normalize("NFD", letter): phones for letter, phones in letters.items()}

    def __getitem__(self, word: str) -> tuple[Phones, ...]:
        found = self._known.get(word)
        if found is not None:
            return found
        phones: list[str] = []
        for letter in normalize("NFD", word):
            phones += self._letters[letter]
        if not phones:
            raise KeyError(word)
        return (tuple(phones),)

    def __iter__(self) -> Iterator[str]:
        """The words of the dictionary alone."""
        return iter(self._known)

    def __len__(self) -> int:
        return len(self._known)


@lru_cache(maxsize=1)
def bundled_dictionary() -> Mapping[str, tuple[Phones, ...]]:
    """The dictionary in PocketSphinx's wheel; empty where that is not installed."""
    spec = find_spec("pocketsphinx")
    if spec is None or spec.origin is None:
        return {}
    return read_dictionary(Path(spec.origin).parent.joinpath(*_BUNDLED))
