"""Words that sound alike, computed from a pronouncing dictionary.

Distance is a weighted edit distance over phones: sounds made alike (the same manner of
articulation, or both vowels) are cheaper to mistake than sounds that are not, and a lost or
added unstressed consonant is cheap. Weights are the project's own, not from a publication.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

Phones = tuple[str, ...]

_KINDS = (
    {"AA", "AE", "AH", "AO", "AW", "AY", "EH", "ER", "EY", "IH", "IY", "OW", "OY", "UH", "UW"},
    {"B", "D", "G", "P", "T", "K"},
    {"M", "N", "NG"},
    {"F", "V", "TH", "DH", "S", "Z", "SH", "ZH", "HH"},
    {"CH", "JH", "SH", "ZH"},
    {"L", "R", "W", "Y"},
)
_SAME_KIND = 0.5
_OTHER_KIND = 1.0
_LOST = 0.7
_NEAR = 0.34
"""Words whose distance per phone is at most this are taken for each other."""


def distance(a: Phones, b: Phones) -> float:
    """Weighted edit distance between two pronunciations."""
    row = [i * _LOST for i in range(len(b) + 1)]
    for i, x in enumerate(a, 1):
        previous, row = row, [i * _LOST]
        for j, y in enumerate(b, 1):
            row.append(min(previous[j] + _LOST, row[j - 1] + _LOST, previous[j - 1] + _swap(x, y)))
    return row[-1]


def _swap(x: str, y: str) -> float:
    if x == y:
        return 0.0
    return _SAME_KIND if any(x in k and y in k for k in _KINDS) else _OTHER_KIND


@dataclass(frozen=True)
class Sounds:
    """A pronouncing dictionary: word to its pronunciations."""

    phones: Mapping[str, tuple[Phones, ...]]

    def __hash__(self) -> int:
        return id(self)

    @staticmethod
    def load(*files: Path) -> Sounds:
        """The dictionary that comes with the bundled recogniser, and further files over it."""
        return Sounds(_load(files))

    def near(self, a: str, b: str) -> bool:
        """Whether two words are easily taken for each other."""
        return a != b and _near(self, a, b)


@lru_cache(maxsize=8)
def _load(files: tuple[Path, ...]) -> Mapping[str, tuple[Phones, ...]]:
    import pocketsphinx

    bundled = Path(pocketsphinx.get_model_path()) / "en-us" / "cmudict-en-us.dict"
    found: dict[str, tuple[Phones, ...]] = {}
    for path in (bundled, *files):
        for line in path.read_text(encoding="utf-8").splitlines():
            if not line or line.startswith(("#", ";;;")):
                continue
            word, *phones = line.split()
            bare = word.split("(")[0]
            found[bare] = (*found.get(bare, ()), tuple(phones))
    return found


@lru_cache(maxsize=65536)
def _near(sounds: Sounds, a: str, b: str) -> bool:
    return any(
        distance(p, q) <= _NEAR * max(len(p), len(q))
        for p in sounds.phones.get(a, ())
        for q in sounds.phones.get(b, ())
    )


def twins(
    sounds: Sounds, words: tuple[str, ...], vocabulary: tuple[str, ...]
) -> Iterator[tuple[str, ...]]:
    """``words`` with one word at a time replaced by each word of the vocabulary near it."""
    for index, word in enumerate(words):
        for other in vocabulary:
            if sounds.near(word, other):
                yield (*words[:index], other, *words[index + 1 :])
