"""Pronouncing dictionaries in the CMU format: a word, then its phones in ARPABET."""

from __future__ import annotations

import gzip
import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from unicodedata import normalize

from assistant.resources import data_folder

Phones = tuple[str, ...]

_ENTRY = re.compile(r"^([^\s#;]\S*) (.*)$", re.MULTILINE)
_BEGINNING = 4  # characters of a line, with the one that ends the line before
_BUNDLED = ("en-US", "dictionary.gz")


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


class Dictionary(Mapping[str, tuple[Phones, ...]]):
    """A dictionary of a hundred thousand words, of which a session asks for a few hundred.

    ``text`` is as :func:`read_dictionary` has it, with one space after the word and each further
    pronunciation numbered from 2 up. A word is looked for in the text when it is asked for: a
    table of all words would take ten times the text's memory.
    """

    def __init__(self, text: str) -> None:
        self._text = f"\n{text}\n"
        self._parts: dict[str, tuple[int, int]] = {}  # where words that begin alike are
        self._read: dict[str, tuple[Phones, ...]] = {}

    def __getitem__(self, word: str) -> tuple[Phones, ...]:
        found = self._read.get(word)
        if found is None:
            phones = self._phones(word)
            if phones is None:
                raise KeyError(word)
            ways = [phones]
            while (more := self._phones(f"{word}({len(ways) + 1})")) is not None:
                ways.append(more)
            found = self._read[word] = tuple(ways)
        return found

    def __contains__(self, word: object) -> bool:
        return word in self._read or (isinstance(word, str) and self._phones(word) is not None)

    def __bool__(self) -> bool:
        return _ENTRY.search(self._text) is not None  # len() counts

    def __iter__(self) -> Iterator[str]:
        """The words, each once."""
        return (m[1] for m in _ENTRY.finditer(self._text) if "(" not in m[1])

    def __len__(self) -> int:
        return sum(1 for _ in self)

    def _phones(self, word: str) -> Phones | None:
        if _ENTRY.fullmatch(f"{word} ") is None:
            return None
        line = f"\n{word} "
        at = self._text.find(line, *self._part(line[:_BEGINNING]))
        if at < 0:
            return None
        begin = at + len(word) + 2
        return tuple(self._text[begin : self._text.index("\n", begin)].split())

    def _part(self, beginning: str) -> tuple[int, int]:
        """From the first of the lines that begin so to the end of the last; looked for once."""
        if len(beginning) < 2:
            return 0, len(self._text)
        if beginning not in self._parts:
            around = self._part(beginning[:-1])
            first = self._text.find(beginning, *around)
            last = self._text.rfind(beginning, *around)
            self._parts[beginning] = (
                (first, self._text.find("\n", last + 1)) if first >= 0 else (0, 0)
            )
        return self._parts[beginning]


class JoinedDictionaries(Mapping[str, tuple[Phones, ...]]):
    """Two dictionaries as one: of a word that both have ``first`` counts, or ``both`` do."""

    def __init__(
        self,
        first: Mapping[str, tuple[Phones, ...]],
        second: Mapping[str, tuple[Phones, ...]],
        both: bool = False,
    ) -> None:
        self._first, self._second, self._both = first, second, both

    def __getitem__(self, word: str) -> tuple[Phones, ...]:
        found = self._first.get(word)
        if found is None:
            return self._second[word]
        return (*found, *self._second.get(word, ())) if self._both else found

    def __contains__(self, word: object) -> bool:
        return word in self._first or word in self._second

    def __bool__(self) -> bool:
        return bool(self._first) or bool(self._second)

    def __iter__(self) -> Iterator[str]:
        """The words of both, each once."""
        yield from self._first
        yield from (word for word in self._second if word not in self._first)

    def __len__(self) -> int:
        return sum(1 for _ in self)


class GraphemeToPhoneme(Mapping[str, tuple[Phones, ...]]):
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

    def __bool__(self) -> bool:
        return True  # len() of a large dictionary counts


@lru_cache(maxsize=1)
def bundled_dictionary() -> Mapping[str, tuple[Phones, ...]]:
    """The CMU pronouncing dictionary that comes with the English grammars."""
    packed = data_folder("grammars").joinpath(*_BUNDLED)
    return Dictionary(gzip.decompress(packed.read_bytes()).decode())
