"""The recogniser that ships, loaded once for all tests of a process."""

from __future__ import annotations

from functools import lru_cache

from assistant.language import Language
from assistant.speech.ear import shipped
from assistant.speech.ear.engine import EarEngine


@lru_cache(maxsize=1)
def shipped_ear() -> EarEngine:
    """English; it keeps no sound from one utterance to the next."""
    return shipped.load(Language.load("en-US").pronunciations)
