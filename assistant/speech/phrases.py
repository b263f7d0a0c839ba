"""Which texts a recogniser's grammar lets be said."""

from __future__ import annotations

import re
from functools import lru_cache

from assistant.language.jsgf_reader import read_jsgf
from assistant.language.network import Network
from assistant.language.tree import GrammarError

_PUBLIC = re.compile(r"^\s*public\s+<(\w+)>", re.MULTILINE)


class Phrases:
    """The phrases of a grammar given as JSGF text with one public rule."""

    def __init__(self, jsgf: str) -> None:
        public = _PUBLIC.search(jsgf)
        if public is None:
            raise GrammarError("The grammar has no public rule; mark the one that is said.")
        self._network = Network(read_jsgf(jsgf), public[1])

    def allows(self, text: str) -> bool:
        """Whether ``text``, in the grammar's words, is a whole phrase."""
        return bool(self._network.match(text.split()))


@lru_cache(maxsize=64)
def phrases_of(jsgf: str) -> Phrases:
    """The phrases of ``jsgf``; kept, because a session returns to the same grammars."""
    return Phrases(jsgf)
