"""Brings a Whisper model's text to the words of the active grammar."""

from __future__ import annotations

import re
from collections.abc import Collection
from difflib import get_close_matches

from assistant.speech.written_numbers import NUMBER_WORDS

# Spellings that Whisper models use for what a mechanic says. The language's own table of typed
# forms knows more; these are the ones it cannot know because they are mishearings.
_FORMS = (
    (r"(?<=\d),(?=\d{3})", ""),
    (r"\b(?:ft|foot)[- ]?(?:lbs?|pounds?)\b", "foot pounds"),
    (r"\b(?:lbs?|pounds?)[-. ]?(?:ft|feet)\b", "pound feet"),
    (r"\b(?:lbs?|pounds?)[-. ]?foot\b", "pound foot"),
    (r"\b(?:lbs?|pounds?)[-. ]?(?:in|inch|inches)\b", "pound inches"),
    (r"\bn[·. -]?m\b", "newton meters"),
    (r"(?:(?<=\d)|\b)mm\b", " millimeters"),
    (r"\b(metre|micrometre|millimetre)(?=s?\b)", lambda m: m[1].replace("metre", "meter")),
    (r"(?<=\d)\s*°", " degrees"),
    (r"(?<=\d)(?=(?:mm|thou|inch|inches|newton|pound)\b)", " "),
    (r"[^\w\s./-]", " "),
    (r"(?<!\d)[./]|[./](?!\d)", " "),
    (r"(?<=[a-z\d])-", " "),
)
_CLOSE = 0.74
"""Likeness of spelling from which an unknown word counts as a word of the grammar."""


def said_once(text: str) -> str:
    """The first of several sentences that begin alike: in the quiet after an utterance the model
    likes to write it once more."""
    sentences = re.split(r"(?<=[.!?])\s+", text.strip())
    kept: list[str] = []
    for sentence in sentences:
        if kept and sentence.split()[:1] == kept[0].split()[:1]:
            break
        kept.append(sentence)
    return " ".join(kept)


def plain(text: str) -> str:
    """Lower case without punctuation; figures such as 0.0015, 1/64 and 150 are kept."""
    words = text.lower()
    for pattern, replacement in _FORMS:
        words = re.sub(pattern, replacement, words)
    return " ".join(words.split())


def snapped(text: str, words: Collection[str]) -> str:
    """``text`` with each word that the grammar does not have replaced by its closest there.

    Number words are never put in by likeness: a number must have been heard as that number.
    """
    plainly = [w for w in words if w not in NUMBER_WORDS]
    return " ".join(_nearest(word, words, plainly) for word in text.split())


def _nearest(word: str, words: Collection[str], plainly: list[str]) -> str:
    if word in words or word in NUMBER_WORDS or not word.isalpha():
        return word
    found = get_close_matches(word, plainly, n=1, cutoff=_CLOSE)
    return found[0] if found else word
