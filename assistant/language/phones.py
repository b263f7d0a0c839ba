"""How alike two strings of phones sound: an edit distance weighted by how phones are made.

Costs follow articulatory features (place, manner, voicing of consonants; height, backness and
diphthong glide of vowels). Vowels weigh more than consonants, because they carry most of the
energy that survives in noise; a nasal or stop at the end of a word weighs least. The weights
themselves are our own judgement.
"""

from __future__ import annotations

from functools import lru_cache

from assistant.language.pronouncing import Phones

# place (front 0 to back), manner, voiced
_CONSONANTS: dict[str, tuple[float, str, bool]] = {
    "P": (0, "stop", False), "B": (0, "stop", True), "M": (0, "nasal", True),
    "F": (0.5, "fricative", False), "V": (0.5, "fricative", True),
    "TH": (1, "fricative", False), "DH": (1, "fricative", True),
    "T": (1.5, "stop", False), "D": (1.5, "stop", True), "N": (1.5, "nasal", True),
    "S": (1.5, "sibilant", False), "Z": (1.5, "sibilant", True), "L": (1.5, "liquid", True),
    "SH": (2, "sibilant", False), "ZH": (2, "sibilant", True),
    "CH": (2, "affricate", False), "JH": (2, "affricate", True), "R": (2, "liquid", True),
    "Y": (2.5, "glide", True), "K": (3, "stop", False), "G": (3, "stop", True),
    "NG": (3, "nasal", True), "W": (3, "glide", True), "HH": (3.5, "fricative", False),
}  # fmt: skip
# height (close 0 to open 3), backness (front 0 to back 2), glide
_VOWELS: dict[str, tuple[float, float, str]] = {
    "IY": (0, 0, ""), "IH": (0.5, 0.3, ""), "EH": (1.5, 0, ""), "AE": (2.5, 0, ""),
    "AA": (3, 1.5, ""), "AO": (2, 2, ""), "OW": (1.2, 2, "w"), "UH": (0.5, 1.7, ""),
    "UW": (0, 2, ""), "AH": (2, 1, ""), "ER": (1.5, 1, "r"), "EY": (1, 0, "y"),
    "AY": (3, 1, "y"), "OY": (2, 2, "y"), "AW": (3, 1, "w"),
}  # fmt: skip
_VOWEL_WEIGHT = 2.2
_HARD_MANNERS = frozenset({"stop", "fricative", "sibilant", "affricate"})


@lru_cache(maxsize=4096)
def swap_cost(one: str, other: str) -> float:
    """Cost of hearing phone ``one`` as ``other``: 0 for the same, about 1 for quite another."""
    if one == other:
        return 0.0
    if one in _CONSONANTS and other in _CONSONANTS:
        (place, manner, voiced), (place2, manner2, voiced2) = _CONSONANTS[one], _CONSONANTS[other]
        cost = 0.15 * min(abs(place - place2), 2) + 0.15 * (voiced != voiced2)
        if manner != manner2:
            both_hard = manner in _HARD_MANNERS and manner2 in _HARD_MANNERS
            cost += 0.25 if both_hard else 0.35
        return min(1.0, cost)
    if one in _VOWELS and other in _VOWELS:
        (height, back, glide), (height2, back2, glide2) = _VOWELS[one], _VOWELS[other]
        cost = 0.22 * abs(height - height2) + 0.25 * abs(back - back2) + 0.25 * (glide != glide2)
        return _VOWEL_WEIGHT * min(1.0, cost)
    return _VOWEL_WEIGHT


def weight(phone: str) -> float:
    """Cost of missing or adding ``phone`` in the middle of a word."""
    return _VOWEL_WEIGHT if phone in _VOWELS else 0.7


def distance(one: Phones, other: Phones) -> float:
    """Weighted edit distance between two strings of phones."""
    row = [0.0]
    for y in other:
        row.append(row[-1] + weight(y))
    for x in one:
        above, row = row, [row[0] + weight(x)]
        for j, y in enumerate(other):
            row.append(
                min(above[j + 1] + weight(x), row[j] + weight(y), above[j] + swap_cost(x, y))
            )
    return row[-1]


@lru_cache(maxsize=65536)
def total_weight(phones: Phones) -> float:
    """Weight of a whole string of phones."""
    return sum(map(weight, phones))


def surely_apart(one: Phones, other: Phones, bound: float) -> bool:
    """Whether their lengths alone put two strings further apart than ``bound``; cheap to ask."""
    a, b = total_weight(one), total_weight(other)
    return abs(a - b) > bound * max(a, b)


@lru_cache(maxsize=65536)
def unlikeness(one: Phones, other: Phones) -> float:
    """Distance over the weight of the longer string: 0 the same, towards 1 nothing in common."""
    whole = max(total_weight(one), total_weight(other))
    return distance(one, other) / whole if whole else 0.0
