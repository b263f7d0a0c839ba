"""Problems in English, for checks, commands and records, which are in English throughout."""

from __future__ import annotations

from assistant.language.language import Language
from assistant.quantities.problem import Told


def in_english(problem: Told) -> str:
    """A problem as an English sentence; a sentence stays as it is."""
    return Language.load("en-US").told(problem)
