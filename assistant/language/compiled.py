"""A listening spec, compiled: its grammar, network and JSGF text, each made once."""

from __future__ import annotations

from functools import cached_property, lru_cache

from assistant.language.composing import START, compose
from assistant.language.jsgf_writer import write_jsgf
from assistant.language.network import Network
from assistant.language.sources import Sources
from assistant.language.spec import ListenSpec
from assistant.language.tree import Grammar
from assistant.language.tree import words as words_of

_KEPT = 512  # compiled specs; a procedure has fewer


class CompiledSpec:
    """What one spec comes to; each part is made when it is first asked for, as few need all."""

    def __init__(self, sources: Sources, spec: ListenSpec) -> None:
        self._data, self._commands = sources.grammar, sources.commands
        self._spec = spec

    @cached_property
    def grammar(self) -> Grammar:
        """What may be said; its start rule is ``START``."""
        return compose(self._data, self._commands, self._spec, typed=False)

    @cached_property
    def network(self) -> Network:
        """The grammar as a network of words."""
        return Network(self.grammar, START)

    @cached_property
    def typed(self) -> Network:
        """The same of what may be typed, which may be more."""
        return Network(self._typed_grammar, START)

    @cached_property
    def typed_words(self) -> frozenset[str]:
        """The words of what may be typed."""
        return frozenset(words_of(self._typed_grammar, START))

    @cached_property
    def _typed_grammar(self) -> Grammar:
        return compose(self._data, self._commands, self._spec, typed=True)

    @cached_property
    def jsgf(self) -> str:
        """The grammar as JSGF text."""
        return write_jsgf(self.grammar, START)

    @cached_property
    def words(self) -> tuple[str, ...]:
        """The words of the grammar, sorted."""
        return words_of(self.grammar, START)


@lru_cache(maxsize=_KEPT)
def compiled(sources: Sources, spec: ListenSpec) -> CompiledSpec:
    """``spec`` compiled from the grammar and commands of ``sources``."""
    return CompiledSpec(sources, spec)
