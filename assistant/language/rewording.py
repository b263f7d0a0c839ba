"""Sentences that come from outside the prompts, in the words of another language.

The arithmetic, the tools and the store tell their faults in English sentences. A language gives
its own for each in ``sentences.yaml``: the English sentence, with names in braces for what varies,
and what is said instead. What varies is looked up too, so that ``torque wrench`` may be named.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

_PLACE = re.compile(r"\{(\w+)\}")
_NEXT = re.compile(r"(?<=[.!?])\s+")
_DEEPEST = 4  # places within places


class Rewording:
    """Says a sentence by ``table``; what the table lacks stays as it is."""

    def __init__(self, table: Mapping[str, str]) -> None:
        self._table = [(_pattern(english), said) for english, said in table.items()]

    def __call__(self, text: str, depth: int = 0) -> str:
        """``text``, one sentence or several, in the words of the language."""
        whole = self._reworded(text, depth)
        if whole is not None:
            return whole
        parts = _NEXT.split(text)
        if len(parts) < 2:
            return text
        return " ".join(self._reworded(part, depth) or part for part in parts)

    def _reworded(self, text: str, depth: int) -> str | None:
        for pattern, said in self._table:
            found = pattern.fullmatch(text)
            if found is not None and depth < _DEEPEST:
                inner = {name: self(value, depth + 1) for name, value in found.groupdict().items()}
                return said.format(**inner)
        return None


def _pattern(english: str) -> re.Pattern[str]:
    parts = _PLACE.split(english)
    # Odd parts are names of places, even ones text.
    body = (f"(?P<{p}>.+?)" if at % 2 else re.escape(p) for at, p in enumerate(parts))
    return re.compile("".join(body))
