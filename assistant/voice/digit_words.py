"""The words that values are spelled out with, in the language's own data."""

from __future__ import annotations

from functools import lru_cache

from assistant.language import Language


@lru_cache(maxsize=4)
def digit_words(language: str) -> tuple[str, ...]:
    """What the digits, point and minus of a written number are said as."""
    return tuple(dict.fromkeys(Language.load(language).say_digits("0123456789.-").split()))
